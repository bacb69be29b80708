package main

import (
	"context"
	"fmt"

	"gaugerod/db"
	"gaugerod/scheduler"
)

type loadCommand struct {
	Files []string `arg:"" name:"file" help:"Job files; - reads the standard input." completion:"job file"`
	By    string   `default:"gaugerod load" help:"Who is written into the history (${default})."`

	databaseFlags
}

func (loadCommand) Help() string {
	return "A job of the same name is replaced as a whole, in one transaction, with a line in the history for each difference. " +
		"A running service shows it at once.\n\n" +
		example("gaugerod load house.job.yaml")
}

func (c *loadCommand) Run(ctx context.Context, s streams) error {
	// All files are read before the database is touched: a wrong one stops nothing halfway.
	var jobs []*scheduler.Job
	err := eachJob(c.Files, s, func(_ string, job *scheduler.Job) error {
		jobs = append(jobs, job)
		return nil
	})
	if err != nil {
		return err
	}
	return c.within(ctx, s, func(d *database) error {
		for _, job := range jobs {
			revision, err := d.Put(ctx, job, db.By(c.By))
			if err != nil {
				return fmt.Errorf("load %s: %w", job.ID, err)
			}
			if _, err := fmt.Fprintf(s.out, "%s: %s is revision %d\n", job.ID, job.Title, revision); err != nil {
				return err
			}
		}
		return nil
	})
}
