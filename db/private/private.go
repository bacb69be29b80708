// Package private runs a Postgres of its own in a data folder, for those who have
// no database server: reached through a socket in the folder alone, never over
// TCP and never as root, owned by one program at a time, started with it and
// stopped with it. It needs Linux.
//
// Whatever was acknowledged before a kill -9, of the program or of Postgres, is
// there again after the next start: nothing is ever deleted but what a start that
// did not get to its end had made.
package private

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/rs/zerolog"
)

// Config says where the cluster lives and what to run it with.
type Config struct {
	Folder   string         // everything of the cluster lies below it; made when it is not there
	Binaries string         // the folder of postgres and initdb; empty: search the usual places
	Log      zerolog.Logger // what Postgres says
}

// role is the database user of the cluster, and the name of its database.
const role = "gaugerod"

// Cluster is a running private Postgres. When Postgres dies and nobody asked it
// to, it is started again.
type Cluster struct {
	folder   *folder
	programs programs
	log      zerolog.Logger
	secret   string

	stop      chan struct{} // closed when Postgres shall stop
	stopOnce  sync.Once
	hurry     chan struct{} // closed when it shall stop at once
	hurryOnce sync.Once
	done      chan struct{} // closed when it runs no longer
	err       error         // why, set before done is closed
}

// Start makes the cluster if there is none yet, clears what a killed run left
// behind, starts Postgres and returns when it answers. Its errors are an
// *ErrNoPostgres, *ErrOwned or *ErrVersion where that is what is wrong.
func Start(ctx context.Context, config Config) (*Cluster, error) {
	f, err := openFolder(config.Folder)
	if err != nil {
		return nil, err
	}
	c := &Cluster{
		folder: f,
		log:    config.Log,
		stop:   make(chan struct{}),
		hurry:  make(chan struct{}),
		done:   make(chan struct{}),
	}
	if err := c.start(ctx, config.Binaries); err != nil {
		f.close()
		return nil, err
	}
	return c, nil
}

func (c *Cluster) start(ctx context.Context, binaries string) (err error) {
	data, err := c.folder.version()
	if err != nil {
		return err
	}
	if c.programs, err = findPrograms(ctx, binaries, data, c.folder.path); err != nil {
		return err
	}
	if err := c.clearLeftovers(ctx); err != nil {
		return err
	}
	if c.secret, err = c.ensureData(ctx); err != nil {
		return err
	}
	if err := c.folder.makeSocketFolder(); err != nil {
		return err
	}
	go c.supervise()
	if err := c.awaitAnswer(ctx); err != nil {
		return fmt.Errorf("start the private Postgres in %s: %w", c.folder.path, errors.Join(err, c.Stop(ctx)))
	}
	return nil
}

// Address is what db.Open takes. It holds the password: never log it.
func (c *Cluster) Address() string { return c.address(role) }

func (c *Cluster) address(database string) string {
	// The driver takes "+" for itself, so a blank in the path must be "%20".
	host := strings.ReplaceAll(url.QueryEscape(c.folder.socketFolder), "+", "%20")
	u := url.URL{
		Scheme:   "postgres",
		User:     url.UserPassword(role, c.secret),
		Path:     "/" + database,
		RawQuery: "host=" + host,
	}
	return u.String()
}

// Done is closed when Postgres runs no longer and will not be started again.
func (c *Cluster) Done() <-chan struct{} { return c.done }

// Err is why Postgres runs no longer; nil while it does and after Stop.
func (c *Cluster) Err() error {
	select {
	case <-c.done:
		return c.err
	default:
		return nil
	}
}

// stopPatience is how long Postgres may take to stop in good order.
const stopPatience = 30 * time.Second

// Stop ends Postgres and gives the folder up: in good order if that takes less
// than half a minute and ctx lasts, else at once, which costs a recovery at the
// next start but loses nothing.
func (c *Cluster) Stop(ctx context.Context) error {
	c.stopOnce.Do(func() { close(c.stop) })
	select {
	case <-c.done:
		return c.err
	case <-ctx.Done():
	}
	c.hurryOnce.Do(func() { close(c.hurry) })
	select {
	case <-c.done:
		return c.err
	case <-time.After(stopPatience):
		return fmt.Errorf("the private Postgres in %s does not stop", c.folder.path)
	}
}

// DefaultFolder is where the cluster lives unless told otherwise: below /var/lib
// for root, since no other user gets into root's home, else below the home folder.
func DefaultFolder() (string, error) {
	if os.Geteuid() == 0 {
		return "/var/lib/" + role, nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("there is no home folder to keep the data in: %w", err)
	}
	return home + "/.local/share/" + role, nil
}
