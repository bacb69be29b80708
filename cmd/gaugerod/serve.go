package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"gaugerod/api"
	"gaugerod/api/attach"
	"gaugerod/api/office"
	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/web"
)

type serveCommand struct {
	Listen  string        `env:"GAUGEROD_LISTEN" default:"127.0.0.1:8433" placeholder:"HOST:PORT" help:"Where to answer (${default}). Other hosts than this machine must be named on purpose."`
	URL     string        `env:"GAUGEROD_URL" placeholder:"URL" help:"How people reach it, for the sign-in link, where that is not where it listens."`
	Origins []string      `env:"GAUGEROD_ORIGINS" placeholder:"URL" help:"Other origins whose pages may send changes."`
	Proxies []string      `env:"GAUGEROD_PROXIES" placeholder:"CIDR" help:"Networks of the proxies in front of it: what they say of where a request comes from is believed. Without any, nobody's word is."`
	Metrics string        `env:"GAUGEROD_METRICS" placeholder:"HOST:PORT" help:"Where to answer with metrics, at /metrics, for Prometheus. Off unless given; as with --listen, other hosts than this machine must be named on purpose."`
	First   string        `placeholder:"FILE" help:"Job file to load when the database has no job yet." completion:"job file"`
	Log     string        `env:"GAUGEROD_LOG" enum:"auto,text,json" default:"auto" help:"Log as text, as JSON, or as text on a terminal and JSON elsewhere (auto)."`
	Level   zerolog.Level `env:"GAUGEROD_LEVEL" default:"info" help:"Least level that is logged: debug, info, warn or error (${default})."`

	NoLink bool `env:"GAUGEROD_NO_LINK" help:"Print no sign-in link for the owner of the machine: where the output is kept, so is the link."`

	mailFlags
	databaseFlags
}

func (serveCommand) Help() string {
	return "It prints a link that signs one person in. Without a database address it starts a Postgres of its own, " +
		"which it stops when it ends. Ctrl-C ends it in good order. Traces are sent where the OTEL_EXPORTER_OTLP_ENDPOINT " +
		"of the environment says, and nowhere without it.\n\n" +
		example("gaugerod serve --first house.job.yaml")
}

// Run serves until ctx ends.
func (c *serveCommand) Run(ctx context.Context, s streams) error {
	saveMemory(ctx)
	log := c.logger(s)
	listener, err := api.Listen(ctx, c.Listen) // first: a port in use is told before Postgres starts
	if err != nil {
		return fmt.Errorf("cannot listen on %s; choose another with --listen: %w", c.Listen, err)
	}
	var d *database
	if err := during(s.err, "Opening the database", func() (err error) {
		d, err = c.open(ctx, s.now, log)
		return err
	}); err != nil {
		return errors.Join(err, listener.Close())
	}
	return errors.Join(c.serve(ctx, s, d, listener, log), d.close(ctx))
}

func (c *serveCommand) serve(ctx context.Context, s streams, d *database, listener net.Listener, log zerolog.Logger) error {
	defer listener.Close()
	if err := c.loadFirst(ctx, s, d); err != nil {
		return err
	}
	view, err := c.observe(ctx, d, log)
	if err != nil {
		return err
	}
	defer view.close(ctx, log)
	o := office.New(d.Store, s.now, log, view.planned()...)
	defer o.Close()
	keeper := signin.New(d.Store, s.now, log)
	defer keeper.Close()
	if keeper.Mailer, err = c.mailer(); err != nil {
		return err
	}
	server, err := c.server(s, d, o, keeper, view, log)
	if err != nil {
		return err
	}
	if keeper.Base = strings.TrimSuffix(c.URL, "/"); keeper.Base == "" {
		keeper.Base = "http://" + listener.Addr().String()
	}
	if err := c.printLink(ctx, s, keeper); err != nil {
		return err
	}
	serving, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	if d.cluster != nil {
		go func() {
			select {
			case <-d.cluster.Done():
				stop(fmt.Errorf("the Postgres in the data folder is gone: %w", d.cluster.Err()))
			case <-serving.Done():
			}
		}()
	}
	log.Info().Str("address", listener.Addr().String()).Str("version", programVersion()).Msg("answering")
	if err := server.Serve(serving, listener); err != nil {
		return err
	}
	if ctx.Err() == nil { // nobody asked it to stop
		return context.Cause(serving)
	}
	log.Info().Msg("stopping")
	return nil
}

// printLink prints the link that signs the owner of the machine in.
func (c *serveCommand) printLink(ctx context.Context, s streams, keeper *signin.Keeper) error {
	if c.NoLink {
		return nil
	}
	secret, err := keeper.Printed(ctx)
	if err == nil {
		fmt.Fprintf(s.out, "Open this link once to sign in:\n\n    %s\n\n", signin.Link(keeper.Base, secret))
	}
	return err
}

// server puts API and pages together.
func (c *serveCommand) server(s streams, d *database, o *office.Office, keeper *signin.Keeper, view *outlook, log zerolog.Logger) (*api.Server, error) {
	desk := people.New(d.Store, o, keeper)
	box := attach.New(d.Store, s.now)
	pages, err := web.New(o, web.Options{Now: s.now, Box: box, People: desk})
	if err != nil {
		return nil, err
	}
	keeper.Style = pages.Style()
	keeper.Secure = strings.HasPrefix(c.URL, "https://")
	return api.New(api.Parts{
		Database: d.Store, Office: o, Box: box, Keeper: keeper, People: desk, Log: log, Now: s.now,
		Config:  api.Config{Origins: c.Origins, Proxies: c.Proxies, HTTPS: strings.HasPrefix(c.URL, "https://")},
		Metrics: view.metrics, Traces: view.traces,
		Pages: pages.Register,
		ErrorPage: func(e echo.Context, p *api.Problem) error {
			return pages.Error(e, p.Status, p.Title, p.Detail)
		},
	})
}

// loadFirst loads the first job into a database that has none.
func (c *serveCommand) loadFirst(ctx context.Context, s streams, d *database) error {
	if c.First == "" {
		return nil
	}
	heads, err := d.Jobs(ctx)
	if err != nil || len(heads) > 0 {
		return err
	}
	job, err := readJob(c.First, s.in)
	if err != nil {
		return err
	}
	_, err = d.Put(ctx, job, db.By("gaugerod serve"))
	return err
}

func (c *serveCommand) logger(s streams) zerolog.Logger {
	w := s.err
	if c.Log == "text" || (c.Log == "auto" && onTerminal(s.err)) {
		w = zerolog.ConsoleWriter{Out: s.err, TimeFormat: time.TimeOnly, NoColor: !onTerminal(s.err)}
	}
	return zerolog.New(w).Level(c.Level).With().Timestamp().Logger()
}
