package private

import (
	"fmt"
	"strings"
)

// ErrNoPostgres says that there are no programs of Postgres to run.
type ErrNoPostgres struct {
	Looked []string // the folders looked in
}

func (e *ErrNoPostgres) Error() string {
	return fmt.Sprintf("Postgres is not installed (looked in %s): run \"apt-get install postgresql\" as root and start again, or give the address of a database that runs already",
		strings.Join(e.Looked, ", "))
}

// ErrOwned says that another program that still runs has the folder.
type ErrOwned struct{ Folder string }

func (e *ErrOwned) Error() string {
	return fmt.Sprintf("the data folder %s is in use by another program: stop that one first, or choose another folder", e.Folder)
}

// ErrVersion says that the data was made by another major version of Postgres than
// is installed. The data is left as it is.
type ErrVersion struct {
	Folder     string
	Data, Have string // major versions
}

func (e *ErrVersion) Error() string {
	return fmt.Sprintf("the data in %s was made by Postgres %s, but Postgres %s is installed: run \"apt-get install postgresql-%s\", or bring the data over with pg_upgrade; nothing has been changed",
		e.Folder, e.Data, e.Have, e.Data)
}

// ErrUnreachable says that the user Postgres runs as cannot get to the folder.
type ErrUnreachable struct {
	Folder, User, Barrier string
}

func (e *ErrUnreachable) Error() string {
	return fmt.Sprintf("Postgres runs as user %s, who cannot get to %s because of %s: choose a data folder that others may pass through to, for instance /var/lib/%s",
		e.User, e.Folder, e.Barrier, role)
}
