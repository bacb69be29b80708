package main

import (
	"fmt"

	"gaugerod/scheduler"
)

type checkCommand struct {
	Files []string `arg:"" name:"file" help:"Job files; - reads the standard input." completion:"job file"`
	Quiet bool     `short:"q" help:"Say nothing about files that are right."`
}

func (checkCommand) Help() string {
	return "Every mistake is printed as file:line:column: what is wrong; and how to mend it.\n\n" +
		example("gaugerod check house.job.yaml")
}

func (c checkCommand) Run(s streams) error {
	return eachJob(c.Files, s, func(path string, job *scheduler.Job) error {
		if c.Quiet {
			return nil
		}
		_, err := fmt.Fprintf(s.out, "%s: nothing wrong with %q: %d places, %d trades, %d tasks, %d hold points, %d orders, %d typicals, %d build-ups\n",
			path, job.Title, len(job.Places), len(job.Trades), len(job.Tasks), len(job.Holds), len(job.Orders), len(job.Typicals), len(job.BuildUps))
		return err
	})
}
