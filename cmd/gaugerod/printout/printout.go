// Package printout lays a plan out for a terminal: what a person on site asks first
// comes first, every date has its weekday, every figure its words.
package printout

import (
	"slices"
	"time"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
)

// View narrows what is shown.
type View struct {
	Weeks int          // how far ahead steps, hold points and windows are listed
	Trade scheduler.ID // only what concerns this trade; empty: all
	Place scheduler.ID // only what lies in this place or below it; empty: all
}

// narrowed says whether only a part of the job is shown.
func (v View) narrowed() bool { return v.Trade != "" || v.Place != "" }

// printout is one plan being written.
type printout struct {
	*terminal.Paper
	job     *scheduler.Job
	plan    *scheduler.Plan
	view    View
	words   words
	horizon time.Time                     // the end of the look-ahead
	within  map[scheduler.ID]bool         // the place that is shown and those below it
	shown   map[scheduler.ID]bool         // the steps that are shown
	whose   map[scheduler.ID]scheduler.ID // whose turn a hold point or stage is
}

// Plan writes the plan of a job. The error is that of writing.
func Plan(paper *terminal.Paper, job *scheduler.Job, plan *scheduler.Plan, view View) error {
	p := &printout{Paper: paper, job: job, plan: plan, view: view, words: newWords(job, plan)}
	p.horizon = endOfWeek(plan.AsOf, view.Weeks)
	p.choose()
	p.header()
	p.contradictions()
	p.dues()
	p.alerts()
	p.ahead()
	p.holds()
	p.orders()
	p.windows()
	if !view.narrowed() {
		p.driving()
	}
	p.caution()
	return p.Err()
}

// endOfWeek is the end of the Sunday that closes the n-th week, the one of t counted.
func endOfWeek(t time.Time, n int) time.Time {
	left := (7 - int(t.Weekday())) % 7
	return time.Date(t.Year(), t.Month(), t.Day()+left+1+7*(max(n, 1)-1), 0, 0, 0, 0, t.Location())
}

// choose finds the places and steps that the view shows.
func (p *printout) choose() {
	p.within = make(map[scheduler.ID]bool)
	if p.view.Place != "" {
		p.within[p.view.Place] = true
		for range p.job.Places { // as deep as the tree can be
			for k := range p.job.Places {
				if place := &p.job.Places[k]; p.within[place.Within] {
					p.within[place.ID] = true
				}
			}
		}
	}
	p.whose = make(map[scheduler.ID]scheduler.ID)
	for k := range p.plan.Holds {
		p.whose[p.plan.Holds[k].ID] = p.plan.Holds[k].By
	}
	for k := range p.job.Orders {
		o := &p.job.Orders[k]
		for n := range o.Stages {
			p.whose[o.ID+"."+o.Stages[n].ID] = o.Stages[n].By
		}
	}
	p.shown = make(map[scheduler.ID]bool, len(p.plan.Steps))
	for k := range p.plan.Steps {
		s := &p.plan.Steps[k]
		if (p.ofTrade(s.Trades...) || p.ofTrade(p.whose[s.ID])) && p.inPlace(s.Places...) {
			p.shown[s.ID] = true
		}
	}
}

func (p *printout) ofTrade(trades ...scheduler.ID) bool {
	return p.view.Trade == "" || slices.Contains(trades, p.view.Trade)
}

func (p *printout) inPlace(places ...scheduler.ID) bool {
	return p.view.Place == "" || slices.ContainsFunc(places, func(id scheduler.ID) bool { return p.within[id] })
}

func (p *printout) anyShown(steps []scheduler.ID) bool {
	return slices.ContainsFunc(steps, func(id scheduler.ID) bool { return p.shown[id] })
}
