package private

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
)

// ensureData makes the cluster where there is none yet and returns the password of
// its user. The data is made under another name and then renamed, so that what a
// killed start left half made is never taken for a whole one.
func (c *Cluster) ensureData(ctx context.Context) (string, error) {
	f := c.folder
	if _, err := os.Stat(f.data()); err == nil {
		secret, err := os.ReadFile(f.file("password"))
		if err != nil {
			return "", fmt.Errorf("read the password of the private Postgres: %w", err)
		}
		return string(secret), nil
	} else if !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	c.log.Info().Str("folder", f.path).Msg("making a private Postgres")
	if err := os.RemoveAll(f.unfinished()); err != nil {
		return "", fmt.Errorf("clear what an unfinished start left: %w", err)
	}
	secret, err := f.makePassword()
	if err != nil {
		return "", fmt.Errorf("make a password for the private Postgres: %w", err)
	}
	err = onLockedThread(func() error {
		return c.programs.run(ctx, f, "initdb",
			"--pgdata="+f.unfinished(), "--username="+role, "--pwfile="+f.file("password"),
			"--auth-local=scram-sha-256", "--auth-host=reject",
			"--encoding=UTF8", "--locale=C.UTF-8", "--data-checksums")
	})
	if err != nil {
		return "", fmt.Errorf("make a private Postgres in %s: %w", f.path, err)
	}
	if err := os.Rename(f.unfinished(), f.data()); err != nil {
		return "", err
	}
	return secret, syncFolder(f.path)
}

// makePassword writes 32 random bytes in hexadecimal to the password file.
func (f *folder) makePassword() (string, error) {
	var random [32]byte
	if _, err := rand.Read(random[:]); err != nil {
		return "", err
	}
	secret := hex.EncodeToString(random[:])
	path := f.file("password")
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return "", err
	}
	_, err = file.WriteString(secret)
	return secret, errors.Join(err, file.Sync(), file.Close(), f.owner.take(path))
}

func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
