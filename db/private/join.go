package private

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Join is the address of the cluster that another program runs in the folder, for
// whoever may read the folder: that program's user, or root. The error is
// os.ErrNotExist where none runs.
func Join(path string) (string, error) {
	run := filepath.Join(path, "run")
	if short, err := os.Readlink(run); err == nil {
		run = short
	}
	if _, err := os.Stat(filepath.Join(run, socketName)); err != nil {
		return "", fmt.Errorf("find the socket of the private Postgres in %s: %w", path, err)
	}
	secret, err := os.ReadFile(filepath.Join(path, "password"))
	if errors.Is(err, os.ErrPermission) {
		return "", fmt.Errorf("the private Postgres in %s belongs to another user: %w", path, err)
	}
	if err != nil {
		return "", fmt.Errorf("read the password of the private Postgres: %w", err)
	}
	c := Cluster{folder: &folder{path: path, socketFolder: run}, secret: strings.TrimSpace(string(secret))}
	return c.Address(), nil
}
