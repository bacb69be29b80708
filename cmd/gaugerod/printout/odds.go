package printout

import (
	"fmt"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
	"gaugerod/scheduler/odds"
)

// Odds writes how likely the days of a plan are. The error is that of writing.
func Odds(paper *terminal.Paper, job *scheduler.Job, plan *scheduler.Plan, o *odds.Odds) error {
	words := newWords(job, plan)
	paper.Title("How likely the days of " + plan.Title + " are")
	if o.Unsure == 0 {
		paper.Line("", "No task and no stage of an order says at-best or at-worst, so there is nothing to try.")
		return paper.Err()
	}
	paper.Line("", fmt.Sprintf("Tried %d times with other lengths of %d steps, in the order of the plan. The weather, changes and what nobody has thought of are not in it.", o.Tries, o.Unsure))
	rows := []terminal.Row{terminal.Cells("All work", words.endDay(plan.Finish), kept(o.Done(plan.Finish), o.Tries), words.endDay(o.FinishBy(0.5)), words.endDay(o.FinishBy(0.9)))}
	for _, d := range o.Dues {
		rows = append(rows, terminal.Cells(d.Title, words.endDay(d.By), kept(d.Kept, o.Tries), "", ""))
	}
	paper.Table([]terminal.Column{{Head: "what", Least: 14}, {Head: "by the end of"}, {Head: "kept in tries"}, {Head: "as likely as not"}, {Head: "nine in ten"}}, rows)
	if len(o.Sways) > 0 {
		paper.Heading("What the finish goes by")
	}
	for _, w := range o.Sways {
		paper.Line("  - ", fmt.Sprintf("%s: %.0f %% of its coming and going", plan.FindStep(w.Step).Title, 100*w.Share))
	}
	return paper.Err()
}

func kept(n, tries int) string { return fmt.Sprintf("%d of %d", n, tries) }
