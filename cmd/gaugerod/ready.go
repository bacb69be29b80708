package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"
)

type readyCommand struct {
	Listen string        `env:"GAUGEROD_LISTEN" default:"127.0.0.1:8433" placeholder:"HOST:PORT" help:"Where the service answers (${default}), as serve is told."`
	Wait   time.Duration `default:"0s" help:"How long to wait until it is ready (${default})."`
}

func (readyCommand) Help() string {
	return "Asks a service on this machine whether it runs and its database answers; the exit status says so. " +
		"For the health check of a container, and to go on only once a new instance can work.\n\n" +
		example("gaugerod ready --wait 30s")
}

// How long one question may take, and how long to wait before the next.
const (
	readyTimeout = 5 * time.Second
	readyPause   = 100 * time.Millisecond
)

func (c readyCommand) Run(ctx context.Context, s streams) error {
	address, err := c.address()
	if err != nil {
		return err
	}
	client := &http.Client{Timeout: readyTimeout}
	defer client.CloseIdleConnections()
	until := s.now().Add(c.Wait)
	for {
		err := ready(ctx, client, address)
		if err == nil {
			_, err = fmt.Fprintln(s.out, "ready")
			return err
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if !s.now().Before(until) {
			return err
		}
		select {
		case <-ctx.Done():
		case <-time.After(readyPause):
		}
	}
}

// address is what to ask, on this machine also where the service listens everywhere.
func (c readyCommand) address() (string, error) {
	host, port, err := net.SplitHostPort(c.Listen)
	if err != nil {
		return "", fmt.Errorf("%q is no HOST:PORT: %w", c.Listen, err)
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	u := url.URL{Scheme: "http", Host: net.JoinHostPort(host, port), Path: "/readyz"}
	return u.String(), nil
}

func ready(ctx context.Context, client *http.Client, address string) error {
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return err
	}
	answer, err := client.Do(q)
	if err != nil {
		if failed, ok := errors.AsType[*url.Error](err); ok {
			err = failed.Err
		}
		return fmt.Errorf("nothing answers at %s: %w", strings.TrimSuffix(address, "/readyz"), err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("the service runs and is not ready: it answers %s", answer.Status)
	}
	return nil
}
