package main

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

type solveCommand struct {
	Paths []string      `arg:"" name:"path" help:"Instances (.sm, .rcp, .sch) or folders of them." type:"path"`
	Limit time.Duration `default:"60s" help:"How long each instance may take."`
	Known string        `type:"path" placeholder:"FILE" help:"A table of best known values: instance, lower bound, upper bound."`
}

func (solveCommand) Help() string {
	return "Runs the solver on academic scheduling instances in open formats and prints a line for each: " +
		"name, makespan, bound, what became of it, seconds, dead ends met. Every schedule is checked.\n\n" +
		example("gaugerod solve --limit 10s --known best_known.csv instances/j30")
}

func (c solveCommand) Run(ctx context.Context, s streams) error {
	files, err := instanceFiles(c.Paths)
	if err != nil {
		return err
	}
	tally := solveTally{}
	if c.Known != "" {
		if tally.known, err = readKnown(c.Known); err != nil {
			return err
		}
	}
	fmt.Fprintf(s.out, "%-24s %9s %9s  %-10s %9s %10s\n", "instance", "makespan", "bound", "outcome", "seconds", "dead ends")
	for _, file := range files {
		if err := c.one(ctx, s, file, &tally); err != nil {
			return err
		}
	}
	tally.print(s)
	return nil
}

// one solves a file, checks what was found and prints its line.
func (c solveCommand) one(ctx context.Context, s streams, file string, tally *solveTally) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	in, err := instance.Read(file, data)
	if err != nil {
		return err
	}
	begun := s.now()
	r := solve.Instance(in, func() bool { return ctx.Err() != nil || s.now().Sub(begun) > c.Limit })
	took := s.now().Sub(begun)
	if err := solve.Check(in, &r); err != nil {
		return fmt.Errorf("the solver's schedule does not hold: %w", err)
	}
	makespan := "-"
	if r.Makespan >= 0 {
		makespan = fmt.Sprint(r.Makespan)
	}
	fmt.Fprintf(s.out, "%-24s %9s %9d  %-10s %9.3f %10d\n", in.Name, makespan, r.Bound, r.Status, took.Seconds(), r.DeadEnds)
	tally.add(file, &r, took)
	return nil
}

// instanceFiles is the files themselves and all instances in the folders, in order.
func instanceFiles(paths []string) ([]string, error) {
	var files []string
	for _, path := range paths {
		err := filepath.WalkDir(path, func(p string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			ending := strings.ToLower(filepath.Ext(p))
			if p == path || slices.Contains([]string{".sm", ".rcp", ".sch"}, ending) {
				files = append(files, p)
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("no instances in %s: they end in .sm, .rcp or .sch", strings.Join(paths, ", "))
	}
	return files, nil
}
