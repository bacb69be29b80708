package main

import (
	"context"
	"fmt"
)

type migrateCommand struct {
	databaseFlags
}

func (migrateCommand) Help() string {
	return "serve and load do this by themselves. Run it before several instances of a new version start, " +
		"so that none of them has to.\n\n" +
		example("gaugerod migrate --database postgres://gaugerod@db.example/gaugerod")
}

func (c *migrateCommand) Run(ctx context.Context, s streams) error {
	return c.within(ctx, s, func(*database) error { // opening migrates
		_, err := fmt.Fprintln(s.out, "The database is up to date.")
		return err
	})
}
