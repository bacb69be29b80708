package main

import (
	"fmt"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/nearest"
)

// named is something that a person may write by its name or its title.
type named struct {
	id    scheduler.ID
	title string
}

// find is the one that was meant: by name, by title, or by title in other case.
// Nothing written is nothing meant.
func find(what, written string, all []named) (scheduler.ID, error) {
	if written == "" {
		return "", nil
	}
	var known []string
	for _, n := range all {
		if string(n.id) == written || strings.EqualFold(n.title, written) {
			return n.id, nil
		}
		known = append(known, string(n.id))
	}
	mend := "there are " + strings.Join(known, ", ")
	if meant, ok := nearest.Name(written, known); ok {
		mend = "did you mean " + meant + "?"
	} else if len(known) == 0 {
		mend = "there is none"
	} else if len(known) > 30 {
		mend = fmt.Sprintf("there are %d; --json lists them", len(known))
	}
	return "", fmt.Errorf("no %s is called %q; %s", what, written, mend)
}

func findTrade(job *scheduler.Job, written string) (scheduler.ID, error) {
	all := make([]named, len(job.Trades))
	for k := range job.Trades {
		all[k] = named{job.Trades[k].ID, job.Trades[k].Title}
	}
	return find("trade", written, all)
}

func findPlace(job *scheduler.Job, written string) (scheduler.ID, error) {
	all := make([]named, len(job.Places))
	for k := range job.Places {
		all[k] = named{job.Places[k].ID, job.Places[k].Title}
	}
	return find("place", written, all)
}

func findStep(plan *scheduler.Plan, written string) (scheduler.ID, error) {
	all := make([]named, len(plan.Steps))
	for k := range plan.Steps {
		all[k] = named{plan.Steps[k].ID, plan.Steps[k].Title}
	}
	return find("step", written, all)
}
