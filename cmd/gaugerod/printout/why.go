package printout

import (
	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
)

// Why writes the chain that holds a step on its day, from the step back to as of.
func Why(paper *terminal.Paper, job *scheduler.Job, plan *scheduler.Plan, chain []why.Link) error {
	w := newWords(job, plan)
	for n, link := range chain {
		if n == 0 {
			paper.Heading("Why “" + link.Title + "” is on that day")
		}
		paper.Inked(terminal.Bold, "", w.span(link.Start, link.Finish)+": "+link.Title+" ("+string(link.Step)+")")
		for k, d := range link.Held {
			lead := "    also: "
			if k == 0 {
				lead = " because: "
			}
			paper.Line(lead, d.Text)
		}
	}
	return paper.Err()
}
