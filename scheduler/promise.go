package scheduler

import (
	"slices"
	"time"

	"gaugerod/scheduler/worktime"
)

// Promise is a window of access that was agreed with a trade: because the plan was
// issued, because the trade confirmed it, or both. It is agreed in whole days.
type Promise struct {
	Window    string // its name: the Window.ID in the plan it comes from
	Trade     ID
	Place     ID
	Steps     []ID // as they were called then; a step may be gone since
	From      worktime.Date
	Until     worktime.Date  // the last day, included
	Letter    string         // the issue it stems from; empty: it was confirmed without one
	Confirmed *worktime.Date // the day on which the trade said that it comes
	By        ID             // who confirmed it: the trade, or a person who had its word
	Pos       Pos
}

// promiseOf is a window as it is promised.
func promiseOf(w *Window) Promise {
	from, until := w.Days()
	return Promise{Window: w.ID, Trade: w.Trade, Place: w.Place, Steps: slices.Clone(w.Steps), From: from, Until: until}
}

// Of says whether a window is the promised one: the same trade in the same place,
// with a step in common.
func (p *Promise) Of(w *Window) bool {
	return p.Trade == w.Trade && p.Place == w.Place && shareStep(p.Steps, w.Steps)
}

func shareStep(a, b []ID) bool {
	return slices.ContainsFunc(a, func(id ID) bool { return slices.Contains(b, id) })
}

// Confirm keeps a trade's word that it comes in a window, on the days of the window
// as the trade was shown it. Where the window was promised for other days, these
// are agreed now in their place, without the letter of the issue that said
// otherwise. By is the trade or a person who had its word.
//
// Errors are Refusals; then nothing is changed.
func (j *Job) Confirm(w *Window, by ID, on worktime.Date) error {
	if _, err := j.trade(w.Trade); err != nil {
		return err
	}
	if err := j.speaksFor(w.Trade, by); err != nil {
		return err
	}
	now := promiseOf(w)
	now.Confirmed, now.By = &on, by
	kept := make([]Promise, 0, len(j.Promises)+1)
	at := -1
	for _, p := range j.Promises {
		if !p.Of(w) {
			kept = append(kept, p)
			continue
		}
		if p.From == now.From && p.Until == now.Until {
			if p.Confirmed != nil && at < 0 && slices.Equal(p.Steps, now.Steps) {
				return refuse(ErrAlready, "", "", "that window was confirmed on %s", p.Confirmed)
			}
			now.Letter, now.Pos = p.Letter, p.Pos
		}
		if at < 0 {
			at = len(kept)
			kept = append(kept, now)
		}
		if p.drop(w.Steps) {
			kept = append(kept, p)
		}
	}
	if at < 0 {
		kept = append(kept, now)
	} else {
		kept[at] = now
	}
	j.Promises = kept
	return nil
}

// drop takes steps out of a promise and says whether any are left. Where a window
// has been parted since it was promised, the rest of it stays promised.
func (p *Promise) drop(steps []ID) bool {
	p.Steps = slices.DeleteFunc(slices.Clone(p.Steps), func(id ID) bool { return slices.Contains(steps, id) })
	if len(p.Steps) == 0 {
		return false
	}
	p.Window = windowName(p.Trade, p.Place, p.Steps[0])
	return true
}

func windowName(trade, place, first ID) string {
	return string(trade) + "." + string(place) + "." + string(first)
}

// speaksFor is an error unless a name is that of the trade or of a person on the
// job who does not belong to another one.
func (j *Job) speaksFor(trade, by ID) error {
	if by == trade {
		return nil
	}
	if err := j.person(by); err != nil {
		return err
	}
	for k := range j.People {
		if p := &j.People[k]; p.ID == by && p.Trade != "" && p.Trade != trade {
			return refuse(ErrNotTheirs, "by", "let somebody of that trade say it", "%s belongs to %s, not to %s", by, p.Trade, trade)
		}
	}
	return nil
}

// Days is the first and the last civil day of a window.
func (w *Window) Days() (from, until worktime.Date) { return civilDays(w.From, w.Until) }

// civilDays is the days that a stretch of time touches, in the zone of its times.
// What ends at midnight ends on the day before.
func civilDays(from, until time.Time) (first, last worktime.Date) {
	first = worktime.DateOf(from)
	return first, max(first, worktime.DateOf(until.Add(-time.Minute)))
}
