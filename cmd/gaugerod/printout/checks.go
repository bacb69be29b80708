package printout

import (
	"fmt"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
	"gaugerod/scheduler/selfcheck"
)

// checkItems is how many of what a check counted are listed.
const checkItems = 5

// Checks writes what the schedule's self-check found: each with its figure, formula
// and source, those that failed first. There is no score.
func Checks(paper *terminal.Paper, plan *scheduler.Plan, checks []selfcheck.Check) error {
	paper.Title("Self-check of " + plan.Title)
	for _, group := range []struct {
		result  selfcheck.Result
		heading string
		ink     terminal.Ink
	}{
		{selfcheck.Fail, "Outside the limit", terminal.Red},
		{selfcheck.Info, "For information", terminal.NoInk},
		{selfcheck.Pass, "Within the limit", terminal.Green},
	} {
		first := true
		for _, c := range checks {
			if c.Result != group.result {
				continue
			}
			if first {
				paper.Heading(group.heading)
				first = false
			}
			figure := c.Name + ": " + c.Figure
			if c.Limit != "" && c.Limit != "none" {
				figure += " (limit: " + c.Limit + ")"
			}
			paper.Inked(group.ink, "", figure)
			paper.Inked(terminal.Faint, "    ", c.Formula)
			paper.Inked(terminal.Faint, "    ", "Source: "+c.Source)
			if c.Result != selfcheck.Pass {
				items(paper, c.Items)
			}
		}
	}
	return paper.Err()
}

func items(paper *terminal.Paper, all []selfcheck.Item) {
	for _, item := range all[:min(len(all), checkItems)] {
		paper.Line("  - ", item.Text)
	}
	if more := len(all) - checkItems; more > 0 {
		paper.Line("  - ", fmt.Sprintf("and %d more: --json lists them", more))
	}
}
