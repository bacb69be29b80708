package main

import (
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planfile"
)

type schemaCommand struct {
	Plan bool `help:"The schema of what 'plan --json' prints, and not that of job files."`
}

func (schemaCommand) Help() string {
	return "Editors complete and check a job file that names the schema in its first line:\n" +
		"    # yaml-language-server: $schema=job.schema.json\n\n" +
		example("gaugerod schema > job.schema.json")
}

func (c schemaCommand) Run(s streams) error {
	text := jobfile.Schema()
	if c.Plan {
		text = planfile.Schema()
	}
	_, err := s.out.Write(text)
	return err
}
