package private

import (
	"fmt"
	"os"
	"path/filepath"
)

// Join is the address of the Postgres that another program runs in the folder, for
// a command that comes and goes while that one serves.
func Join(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	f := &folder{path: path}
	secret, err := os.ReadFile(f.file("password"))
	if err != nil {
		return "", fmt.Errorf("read the password of the private Postgres: %w", err)
	}
	f.socketFolder = f.file("run")
	if short, err := os.Readlink(f.socketFolder); err == nil {
		f.socketFolder = short
	}
	if _, err := os.Stat(filepath.Join(f.socketFolder, socketName)); err != nil {
		return "", fmt.Errorf("no Postgres answers in %s: %w", path, err)
	}
	c := &Cluster{folder: f, secret: string(secret)}
	return c.Address(), nil
}
