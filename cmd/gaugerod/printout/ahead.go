package printout

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
)

// ahead lists the steps of the coming weeks, week by week, with what each waits for.
func (p *printout) ahead() {
	var coming []*scheduler.PlannedStep
	for k := range p.plan.Steps {
		s := &p.plan.Steps[k]
		if p.shown[s.ID] && s.State != scheduler.Complete && s.Start.Before(p.horizon) {
			coming = append(coming, s)
		}
	}
	slices.SortStableFunc(coming, func(a, b *scheduler.PlannedStep) int { return a.Start.Compare(b.Start) })
	p.Heading(fmt.Sprintf("The work until %s (%s)", p.words.endDay(p.horizon), count(int64(max(p.view.Weeks, 1)), "week")))
	if len(coming) == 0 {
		p.Line("", "Nothing is planned.")
		return
	}
	var rows []terminal.Row
	week := time.Time{}
	for _, s := range coming {
		if s.Start.Before(week) || week.IsZero() {
			if week.IsZero() {
				week = endOfWeek(later(s.Start, p.plan.AsOf), 1)
			}
		} else {
			p.week(week, rows)
			rows, week = nil, endOfWeek(s.Start, 1)
		}
		rows = append(rows, p.step(s))
	}
	p.week(week, rows)
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func (p *printout) week(end time.Time, rows []terminal.Row) {
	monday := end.AddDate(0, 0, -7)
	p.Blank()
	p.Inked(terminal.Bold, "", "Week of "+p.words.day(monday))
	if p.wide() {
		p.Table([]terminal.Column{
			{Head: "from"},
			{Head: "until"},
			{Head: "trade", Least: 12},
			{Head: "place", Least: 12},
			{Head: "step", Least: 20},
			{Head: "how it stands", Least: 20},
			{Head: "slack", Least: 8},
			{Head: "name", Least: 12},
		}, rows)
		return
	}
	p.Table([]terminal.Column{
		{Head: "from, to"},
		{Head: "who, where", Least: 12},
		{Head: "step, name", Least: 16},
		{Head: "how it stands", Least: 14},
		{Head: "slack", Least: 6},
	}, rows)
}

// wide says whether there is room for each step on one line.
func (p *printout) wide() bool { return p.Width() >= 150 }

func (p *printout) step(s *scheduler.PlannedStep) terminal.Row {
	until := p.words.ends(s.Finish)
	if s.Finish.Equal(s.Start) {
		until = ""
	}
	standing := terminal.Cell{Text: p.standing(s)}
	switch {
	case s.Slack < 0 || s.State == scheduler.Refused || s.OutOfOrder:
		standing.Ink = terminal.Red
	case s.State == scheduler.Ready || s.State == scheduler.Underway:
		standing.Ink = terminal.Green
	}
	from, who, where := p.words.starts(s.Start), p.who(s), p.words.names(s.Places)
	if p.wide() {
		row := terminal.Cells(from, until, who, where, titled(s), "", p.words.slack(s), string(s.ID))
		row[5], row[7].Ink = standing, terminal.Faint
		return row
	}
	if until != "" {
		until = "to " + until
	}
	row := terminal.Cells(lines(from, until), lines(who, where), lines(titled(s), "("+string(s.ID)+")"), "", p.words.slack(s))
	row[3] = standing
	return row
}

// lines puts texts below each other, leaving empty ones out.
func lines(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), "\n")
}

// titled is the step's title with the cautions that it carries.
func titled(s *scheduler.PlannedStep) string {
	if len(s.Cautions) == 0 {
		return s.Title
	}
	all := make([]string, len(s.Cautions))
	for k, c := range s.Cautions {
		all[k] = string(c)
	}
	return s.Title + "\n[caution: " + strings.Join(all, ", ") + "]"
}

// who does a step or, where no trade does, whose turn it is.
func (p *printout) who(s *scheduler.PlannedStep) string {
	if by := p.whose[s.ID]; len(s.Trades) == 0 && by != "" {
		return p.words.name(by)
	}
	return p.words.names(s.Trades)
}

// standing is how a step stands: what it waits for, or what is left of it.
func (p *printout) standing(s *scheduler.PlannedStep) string {
	text := string(s.State)
	switch s.State {
	case scheduler.Underway:
		text = "under way, " + p.words.length(s.Rest) + " left"
	case scheduler.Waiting:
		var missing []string
		for _, n := range s.Needs {
			if !n.Met && !slices.Contains(missing, n.Text) {
				missing = append(missing, n.Text)
			}
		}
		if len(missing) > 0 {
			text = "waits for: " + some(missing, 2)
		}
	}
	if s.OutOfOrder {
		text += ", out of order"
	}
	return text
}

// driving is the chain of steps that holds the finish where it is, each with the one
// reason that leads back to the step before it.
func (p *printout) driving() {
	if len(p.plan.Driving) == 0 {
		return
	}
	p.Heading("What holds the finish")
	var before scheduler.ID
	for _, id := range p.plan.Driving {
		s := p.plan.FindStep(id)
		if s == nil {
			continue
		}
		p.Line("", p.words.span(s.Start, s.Finish)+": "+s.Title+" ("+string(s.ID)+")")
		if reason := leadingTo(s, before); reason != "" {
			p.Inked(terminal.Faint, "    ", reason)
		}
		before = id
	}
}

func leadingTo(s *scheduler.PlannedStep, before scheduler.ID) string {
	for _, d := range s.Drivers {
		if d.Step == before {
			return d.Text
		}
	}
	if len(s.Drivers) > 0 {
		return s.Drivers[0].Text
	}
	return ""
}
