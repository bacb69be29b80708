package main

import (
	"context"
	"errors"
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

type exportCommand struct {
	Job scheduler.ID `arg:"" optional:"" help:"The job's name. Without it the jobs are listed."`

	databaseFlags
}

func (exportCommand) Help() string {
	return "What is printed is a job file: loaded again it gives the same job.\n\n" +
		example("gaugerod export house > house.job.yaml")
}

func (c *exportCommand) Run(ctx context.Context, s streams) error {
	return c.within(ctx, s, func(d *database) error {
		if c.Job == "" {
			return list(ctx, s, d)
		}
		job, _, err := d.Job(ctx, c.Job)
		if errors.Is(err, scheduler.ErrNotFound) {
			return c.unknown(ctx, d)
		}
		if err != nil {
			return err
		}
		text, err := jobfile.Write(job)
		if err != nil {
			return err
		}
		_, err = s.out.Write(text)
		return err
	})
}

// unknown says which jobs there are.
func (c *exportCommand) unknown(ctx context.Context, d *database) error {
	heads, err := d.Jobs(ctx)
	if err != nil {
		return err
	}
	all := make([]named, len(heads))
	for k, h := range heads {
		all[k] = named{h.ID, ""}
	}
	_, err = find("job", string(c.Job), all)
	return err
}

func list(ctx context.Context, s streams, d *database) error {
	heads, err := d.Jobs(ctx)
	if err != nil {
		return err
	}
	for _, h := range heads {
		if _, err := fmt.Fprintf(s.out, "%s\trevision %d\t%s\n", h.ID, h.Revision, h.Title); err != nil {
			return err
		}
	}
	return nil
}
