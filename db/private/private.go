// Package private runs a Postgres of its own in a data folder, for those who have
// no database server: reached through a socket in the folder alone, owned by one
// program at a time, started with it and stopped with it.
package private

import (
	"context"
	"errors"

	"github.com/rs/zerolog"
)

// Config says where the cluster lives and what to run it with.
type Config struct {
	Folder   string         // everything of the cluster lies below it; made when it is not there
	Binaries string         // the folder of postgres and initdb; empty: search the usual places
	Log      zerolog.Logger // what Postgres says
}

// Cluster is a running private Postgres.
type Cluster struct {
	done chan struct{}
}

// Start makes the cluster if there is none yet, clears what a killed run left
// behind, starts Postgres and returns when it answers.
func Start(ctx context.Context, c Config) (*Cluster, error) {
	return nil, errors.New("not written yet")
}

// Address is what db.Open takes.
func (c *Cluster) Address() string { return "" }

// Stop ends Postgres in good order and gives the folder up.
func (c *Cluster) Stop(ctx context.Context) error { return nil }

// Done is closed when Postgres runs no longer and will not be started again.
func (c *Cluster) Done() <-chan struct{} { return c.done }
