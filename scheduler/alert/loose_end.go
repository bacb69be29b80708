package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// looseEnds: a task or hold point, not done, that nothing follows although it has no
// due day and is not the last of the job; or to which nothing leads although it is
// not the first task of the file without anything before it, not pinned, booked or
// expected, not begun, and no decision, which begins with a person. Always a note.
func (v *view) looseEnds() {
	given := map[scheduler.ID]bool{} // a day is given by a person
	due := map[scheduler.ID]bool{}
	for _, p := range v.job.Pins {
		given[p.Step] = true
	}
	for _, f := range v.job.Facts {
		given[f.Step] = given[f.Step] || f.Booked != nil || f.Expected != nil
	}
	for _, d := range v.job.Dues {
		due[d.Step] = true
	}
	last, first := v.lastStep(), v.firstTask()
	for k := range v.net.Steps {
		n, s := &v.net.Steps[k], v.planned[k]
		if s == nil || done(s) || n.Kind == scheduler.StageStep {
			continue
		}
		follows := len(v.out.at(k)) > 0 || due[n.ID] || k == last
		leads := len(v.into.at(k)) > 0 || given[n.ID] || k == first || started(s) || n.HoldKind == scheduler.Decision
		if follows && leads {
			continue
		}
		v.add(v.looseEnd(s, follows, leads))
	}
}

func (v *view) looseEnd(s *scheduler.PlannedStep, follows, leads bool) scheduler.Alert {
	a := scheduler.Alert{
		Key: key(scheduler.LooseEnd, s.ID), Kind: scheduler.LooseEnd, Severity: scheduler.Note,
		Steps: []scheduler.ID{s.ID}, Places: s.Places, Trades: s.Trades, Days: []worktime.Date{v.date(s.Start)},
	}
	switch {
	case !follows && !leads:
		a.Sentence = fmt.Sprintf("Nothing leads to %s and nothing follows it: its day means nothing to the plan.", v.called(s.ID))
		a.Remedy = "Say what it waits for and what waits for it."
	case !follows:
		a.Sentence = fmt.Sprintf("Nothing follows %s: it may slip without anybody being told.", v.called(s.ID))
		a.Remedy = "Say what waits for it, or give it a due day."
	default:
		a.Sentence = fmt.Sprintf("Nothing leads to %s: it is planned as early as anybody is free.", v.called(s.ID))
		a.Remedy = "Say what it waits for, or pin the day before which it may not start."
	}
	return a
}

// lastStep is the step that is planned to finish last; of several, the last in the
// file.
func (v *view) lastStep() int {
	last := -1
	for k, s := range v.planned {
		if s != nil && (last < 0 || !s.Finish.Before(v.planned[last].Finish)) {
			last = k
		}
	}
	return last
}

// firstTask is the first task of the file to which nothing leads: there the job
// begins.
func (v *view) firstTask() int {
	for k := range v.net.Steps {
		if v.net.Steps[k].Kind == scheduler.TaskStep && len(v.into.at(k)) == 0 {
			return k
		}
	}
	return -1
}
