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
	All string       `placeholder:"FILE" help:"Write everything of the database to this file, as an archive that 'gaugerod import' reads; - is the standard output." completion:"file"`

	databaseFlags
}

func (exportCommand) Help() string {
	return "What is printed is a job file: loaded again it gives the same job. With --all everything is written: jobs, history, " +
		"plans, people and what their passwords and links are checked against. Keep that file as you keep the database itself.\n\n" +
		example("gaugerod export house > house.job.yaml\n    gaugerod export --all backup.tar.gz")
}

func (c *exportCommand) Run(ctx context.Context, s streams) error {
	if c.All != "" && c.Job != "" {
		return fmt.Errorf("--all writes every job: leave %s out, or --all", c.Job)
	}
	return c.within(ctx, s, func(d *database) error {
		if c.All != "" {
			return c.everything(ctx, s, d)
		}
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
