package scheduler

import (
	"strings"

	"gaugerod/scheduler/worktime"
)

// Answer is a trade's word that it cannot come in a window on some days. The days
// are days off of the trade as well, so that plans keep clear of them; the answer
// stays so that people hear of it.
type Answer struct {
	Window string // the Window.ID in the plan that the trade was shown
	Trade  ID
	Place  ID
	Steps  []ID // of the window then
	From   worktime.Date
	To     worktime.Date // the last day, included
	On     worktime.Date // the day it said so
	By     ID            // who said it: the trade, or a person who had its word
	Note   string
	Pos    Pos
}

// longestAbsence is how many days a trade can say at once that it cannot come. A
// longer run is a slip of the pen. Common practice, no source.
const longestAbsence = 366

// CannotCome keeps a trade's word that it cannot come in a window of the plan on
// some days, both included, and makes them days off of the trade.
//
// Errors are Refusals; then nothing is changed.
func (j *Job) CannotCome(w *Window, a Answer) error {
	trade, err := j.trade(w.Trade)
	if err != nil {
		return err
	}
	if err := j.speaksFor(w.Trade, a.By); err != nil {
		return err
	}
	switch {
	case a.To < a.From:
		return refuse(ErrImpossible, "to", "put the earlier day first", "days from %s to %s end before they begin", a.From, a.To)
	case a.To < a.On:
		return refuse(ErrImpossible, "to", "give days that lie ahead", "%s is past already", a.To)
	case a.To-a.From >= longestAbsence:
		return refuse(ErrImpossible, "to", "give a nearer day, or ask the owner to take the trade off the job",
			"from %s to %s is longer than a year", a.From, a.To)
	}
	for k := range j.Answers {
		if b := &j.Answers[k]; b.Window == w.ID && b.From == a.From && b.To == a.To && trade.isOff(a.From, a.To) {
			return refuse(ErrAlready, "", "", "that was said on %s", b.On)
		}
	}
	a.Window, a.Trade, a.Place, a.Steps = w.ID, w.Trade, w.Place, append([]ID(nil), w.Steps...)
	j.Answers = append(j.Answers, a)
	if !trade.isOff(a.From, a.To) {
		trade.Off = append(trade.Off, Closure{From: a.From, To: a.To, Why: a.why()})
	}
	return nil
}

// why is what the days off say of themselves, on one line.
func (a *Answer) why() string {
	const most = 200
	note := []rune(strings.Join(strings.Fields(a.Note), " "))
	switch {
	case len(note) == 0:
		return "cannot come"
	case len(note) > most:
		note = append(note[:most:most], '…')
	}
	return "cannot come: " + string(note)
}

// isOff says whether one run of days off of the trade covers these days.
func (t *Trade) isOff(from, to worktime.Date) bool {
	for _, c := range t.Off {
		if c.From <= from && to <= c.To {
			return true
		}
	}
	return false
}

// DaysOff is the first and the last day of an answer on which the trade is off by
// the job as it stands, false where it is on none: somebody has settled it since.
func (j *Job) DaysOff(a *Answer) (first, last worktime.Date, ok bool) {
	for k := range j.Trades {
		if j.Trades[k].ID != a.Trade {
			continue
		}
		for _, c := range j.Trades[k].Off {
			from, to := max(c.From, a.From), min(c.To, a.To)
			if from > to {
				continue
			}
			if !ok {
				first, last, ok = from, to, true
				continue
			}
			first, last = min(first, from), max(last, to)
		}
	}
	return first, last, ok
}
