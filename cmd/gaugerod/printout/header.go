package printout

import (
	"fmt"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
)

// header is the job, how far it is, its finish and how sure that is.
func (p *printout) header() {
	p.Title(p.plan.Title)
	var done, underway int64
	for k := range p.plan.Steps {
		switch p.plan.Steps[k].State {
		case scheduler.Complete:
			done++
		case scheduler.Underway:
			underway++
		}
	}
	p.Line("", fmt.Sprintf("As of %s: %d of %s done, %d under way.",
		p.plan.AsOf.Format("Monday 2 January 2006"), done, count(int64(len(p.plan.Steps)), "step"), underway))
	switch {
	case p.view.Trade != "":
		p.Line("", "Shown here: only what concerns "+p.words.name(p.view.Trade)+".")
	case p.view.Place != "":
		p.Line("", "Shown here: only what lies in "+p.words.name(p.view.Place)+".")
	}
	p.Inked(terminal.Bold, "", "Finish: "+endOf(p.plan.Finish).Format("Monday 2 January 2006"))
	p.aims()
}

// aims are how near the plan comes to each thing that it is made for.
func (p *printout) aims() {
	for k := range p.plan.Aims {
		p.Line("", p.plan.Aims[k].Text)
	}
	if !p.plan.Proven && p.plan.EarliestFinish.Before(p.plan.Bound) {
		p.Line("", "With crews, room and gear without limit it would finish on "+p.words.ends(p.plan.EarliestFinish)+".")
	}
}

// dues are the due days and what the plan makes of them.
func (p *printout) dues() {
	var rows []terminal.Row
	for k := range p.plan.Dues {
		d := &p.plan.Dues[k]
		if !p.shown[d.Step] {
			continue
		}
		row := terminal.Cells(d.Title, p.words.endDay(d.By), p.words.ends(d.Planned), p.words.margin(d.Margin))
		if d.Missed {
			row[3].Ink = terminal.Red
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return
	}
	p.Heading("Due days")
	p.Table([]terminal.Column{{Head: "due", Least: 14}, {Head: "by the end of"}, {Head: "planned"}, {Head: "to spare", Least: 12}}, rows)
}

// contradictions come early: dates below them rest on a statement set aside.
func (p *printout) contradictions() {
	if len(p.plan.Contradictions) == 0 {
		return
	}
	p.Heading("Statements that contradict each other")
	for n, c := range p.plan.Contradictions {
		if n > 0 {
			p.Blank()
		}
		head := "These cannot all hold; without any one of them the others can:"
		if c.Unproven {
			head = "No order of work was found that keeps all of these, and it is not proven that there is none:"
		}
		p.Line("", head)
		for k, s := range c.Statements {
			text := s.Text
			if s.Line > 0 {
				text += fmt.Sprintf(" (line %d)", s.Line)
			}
			ink := terminal.NoInk
			if k == c.Dropped {
				text += " - set aside in this plan"
				ink = terminal.Red
			}
			p.Inked(ink, "  - ", text)
		}
		if c.Dropped < 0 {
			p.Line("", "All of them are kept in this plan, and the due day is missed.")
		}
	}
}

// caution is the last word of every printout.
func (p *printout) caution() {
	p.Heading("Before anybody acts on a date")
	p.Line("", Caution)
}

// Caution is what stands below every plan that is printed.
const Caution = "A computed date is no permission to load, strip, undercut, remove a support, energise or enter. " +
	"Local codes and the written word of engineer, inspector and manufacturer come first. " +
	"Steps that carry a caution are released by the licensed or authorised person, never by this program."
