package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"gaugerod/cmd/gaugerod/printout"
	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/odds"
	"gaugerod/scheduler/planfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/selfcheck"
	"gaugerod/scheduler/why"
	"gaugerod/scheduler/worktime"
)

type planCommand struct {
	Files  []string     `arg:"" name:"file" help:"Job files; - reads the standard input." completion:"job file"`
	AsOf   string       `name:"as-of" placeholder:"DAY" help:"Plan from this day: year-month-day, or today. Otherwise from the file's as-of day, else from its start."`
	JSON   bool         `name:"json" help:"Print JSON: the plan; with --why the chain; with --checks the checks; with --odds the odds."`
	Why    scheduler.ID `placeholder:"STEP" xor:"what" help:"Only say why this step is on its day, link by link back to the as-of day."`
	Checks bool         `xor:"what" help:"Only hold the schedule against published guidance, and the program against its own test."`
	Odds   bool         `xor:"what" help:"Only say how likely the finish and the due days are, by many tries."`
	Trade  string       `placeholder:"NAME" help:"Only what concerns this trade."`
	Place  string       `placeholder:"NAME" help:"Only what lies in this place or below it."`
	Weeks  int          `default:"3" help:"How many weeks ahead steps, hold points and windows are listed (${default})."`

	paperFlags
}

func (planCommand) Help() string {
	return "Needs no database. With a grave alert that nobody has put aside the exit status is 1.\n\n" +
		example("gaugerod plan house.job.yaml --as-of 2026-05-18 --weeks 2") +
		"\n    gaugerod plan house.job.yaml --why opening-n3.set"
}

// Validate is called by the command-line parser.
func (c *planCommand) Validate() error {
	if c.Weeks < 1 || c.Weeks > 520 {
		return fmt.Errorf("--weeks is from 1 to 520, not %d", c.Weeks)
	}
	return nil
}

func (c *planCommand) Run(ctx context.Context, s streams) error {
	return eachJob(c.Files, s, func(path string, job *scheduler.Job) error {
		return c.plan(ctx, s, path, job)
	})
}

func (c *planCommand) plan(ctx context.Context, s streams, path string, job *scheduler.Job) error {
	view, err := c.view(job)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	asOf, err := dayOf(c.AsOf, job.Zone, s.now)
	if err != nil {
		return fmt.Errorf("--as-of: %w", err)
	}
	var plan *scheduler.Plan
	if err := during(s.err, "Planning "+path, func() (err error) {
		plan, err = planner.Plan(ctx, job, planner.Options{AsOf: asOf})
		return err
	}); err != nil {
		return err
	}
	if err := c.print(ctx, s, job, plan, view); err != nil {
		return err
	}
	return gravest(plan)
}

func (c *planCommand) print(ctx context.Context, s streams, job *scheduler.Job, plan *scheduler.Plan, view printout.View) error {
	switch {
	case c.Why != "":
		return c.printWhy(s, job, plan)
	case c.Checks:
		return c.printChecks(ctx, s, job, plan)
	case c.Odds:
		return c.printOdds(s, job, plan)
	}
	if c.JSON {
		data, err := planfile.Write(plan)
		if err != nil {
			return err
		}
		_, err = s.out.Write(data)
		return err
	}
	return printout.Plan(c.paper(s.out), job, plan, view)
}

func (c *planCommand) printWhy(s streams, job *scheduler.Job, plan *scheduler.Plan) error {
	step, err := findStep(plan, string(c.Why))
	if err != nil {
		return err
	}
	chain, err := why.Chain(plan, step)
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(s.out, chain)
	}
	return printout.Why(c.paper(s.out), job, plan, chain)
}

func (c *planCommand) printChecks(ctx context.Context, s streams, job *scheduler.Job, plan *scheduler.Plan) error {
	net, err := expand.Expand(job)
	if err != nil {
		return err
	}
	day := worktime.FromTime(plan.AsOf).Date(plan.AsOf.Location())
	var checks []selfcheck.Check
	err = during(s.err, "Checking", func() (err error) {
		checks, err = selfcheck.Run(ctx, net, plan, func(ctx context.Context, job *scheduler.Job) (*scheduler.Plan, error) {
			return planner.Plan(ctx, job, planner.Options{AsOf: &day})
		})
		return err
	})
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(s.out, checks)
	}
	return printout.Checks(c.paper(s.out), plan, checks)
}

func (c *planCommand) printOdds(s streams, job *scheduler.Job, plan *scheduler.Plan) error {
	net, err := expand.Expand(job)
	if err != nil {
		return err
	}
	o, err := odds.Of(net, plan)
	switch {
	case err != nil:
		return err
	case c.JSON:
		return writeJSON(s.out, o)
	}
	return printout.Odds(c.paper(s.out), job, plan, o)
}

func writeJSON(w io.Writer, v any) error {
	out := json.NewEncoder(w)
	out.SetIndent("", "  ")
	out.SetEscapeHTML(false)
	return out.Encode(v)
}

// view is what --trade, --place and --weeks ask for.
func (c *planCommand) view(job *scheduler.Job) (v printout.View, err error) {
	v.Weeks = c.Weeks
	if v.Trade, err = findTrade(job, c.Trade); err != nil {
		return v, err
	}
	v.Place, err = findPlace(job, c.Place)
	return v, err
}

// gravest is errGrave where a grave alert has not been put aside.
func gravest(plan *scheduler.Plan) error {
	for k := range plan.Alerts {
		if a := &plan.Alerts[k]; a.Severity == scheduler.Grave && a.Aside == "" {
			return errGrave
		}
	}
	return nil
}

// dayOf reads a day, or "today" in the zone; empty is none.
func dayOf(text, zone string, now func() time.Time) (*worktime.Date, error) {
	switch text {
	case "":
		return nil, nil
	case "today":
		location, err := time.LoadLocation(zone)
		if err != nil {
			return nil, err
		}
		day := worktime.FromTime(now()).Date(location)
		return &day, nil
	}
	day, err := worktime.ParseDate(text)
	return &day, err
}
