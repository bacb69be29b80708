package office

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// Calendar is what the calendars of a trade are shown of its windows: each with the
// name that its event keeps, and with a number that rises only when it is shown
// differently. What has vanished while it lay ahead is among them, cancelled, so that
// calendars take it away. Words and summary of a window come from the caller.
//
// A sheet of another day than the one the job is planned from anyway is shown and not
// remembered.
func (o *Office) Calendar(ctx context.Context, s *Sheet, trade scheduler.ID, tell func(scheduler.Window) (summary, words string)) ([]db.ShownWindow, error) {
	var now []db.ShownWindow
	for _, w := range s.Plan.Windows {
		if w.Trade == trade {
			summary, words := tell(w)
			now = append(now, db.ShownWindow{
				UID: w.ID + "@" + string(s.Job.ID) + ".gaugerod", Steps: w.Steps, Place: w.Place,
				From: w.From.UTC(), Until: w.Until.UTC(), Summary: summary, Words: words,
			})
		}
	}
	show := func(kept []db.ShownWindow, at time.Time) []db.ShownWindow { return reconcile(kept, now, s.Plan, at) }
	kept, err := o.store.Shown(ctx, s.Job.ID, trade)
	if err != nil {
		return nil, err
	}
	all := show(kept, o.now().UTC())
	usual, err := o.AsOf(s.Job)
	if err != nil {
		return nil, err
	}
	if s.AsOf == usual && !slices.EqualFunc(kept, all, sameShown) {
		if all, err = o.store.Show(ctx, s.Job.ID, trade, s.Revision, show); err != nil {
			return nil, err
		}
	}
	return visible(all, now, s.Plan), nil
}

// sameShown says whether a window is kept as it is shown.
func sameShown(a, b db.ShownWindow) bool {
	return a.UID == b.UID && a.Sequence == b.Sequence && a.Cancelled == b.Cancelled && slices.Equal(a.Steps, b.Steps) && sameEvent(&a, &b)
}

// sameEvent says whether two windows look the same in a calendar.
func sameEvent(a, b *db.ShownWindow) bool {
	return a.From.Equal(b.From) && a.Until.Equal(b.Until) && a.Summary == b.Summary && a.Words == b.Words
}

// reconcile brings what was shown together with what is planned now. A window that
// shares a step, in the same place, with one that was shown is that one still; where
// several do, the one that shares most. All that was ever shown stays in the list, so
// that a name that comes back goes on counting.
func reconcile(kept, now []db.ShownWindow, plan *scheduler.Plan, at time.Time) []db.ShownWindow {
	all := slices.Clone(kept)
	taken := make([]bool, len(kept))
	names := make(map[string]bool, len(kept))
	for k := range kept {
		names[kept[k].UID] = true
	}
	for k := range now {
		w := now[k]
		is := likest(kept, taken, &w)
		if is < 0 {
			w.UID = freshName(w.UID, names)
			w.ChangedAt = at
			all = append(all, w)
			continue
		}
		taken[is] = true
		was := &all[is]
		was.Steps = w.Steps
		if was.Cancelled || !sameEvent(was, &w) {
			was.Sequence++
			was.ChangedAt, was.Cancelled = at, false
			was.From, was.Until, was.Summary, was.Words = w.From, w.Until, w.Summary, w.Words
		}
	}
	for k := range kept {
		if w := &all[k]; !taken[k] && !w.Cancelled && vanished(w, plan) {
			w.Sequence++
			w.ChangedAt, w.Cancelled = at, true
		}
	}
	slices.SortFunc(all, func(a, b db.ShownWindow) int { return strings.Compare(a.UID, b.UID) })
	return all
}

// likest is the shown window that one of now is, -1: none.
func likest(kept []db.ShownWindow, taken []bool, w *db.ShownWindow) int {
	best, most := -1, 0
	for k := range kept {
		if taken[k] || kept[k].Place != w.Place {
			continue
		}
		shared := 0
		for _, id := range w.Steps {
			if slices.Contains(kept[k].Steps, id) {
				shared++
			}
		}
		if shared > most || shared == most && shared > 0 && kept[k].UID == w.UID {
			best, most = k, shared
		}
	}
	return best
}

// freshName is a name that no event has had.
func freshName(name string, names map[string]bool) string {
	fresh := name
	for n := 2; names[fresh]; n++ {
		fresh = fmt.Sprintf("%d.%s", n, name)
	}
	names[fresh] = true
	return fresh
}

// vanished says whether a window that is not planned any more has to be taken out of
// calendars: it lies ahead. One that has begun and is done has been, and stays.
func vanished(w *db.ShownWindow, plan *scheduler.Plan) bool {
	if !w.Until.After(plan.AsOf) {
		return false
	}
	return w.From.After(plan.AsOf) || !allDone(w.Steps, plan)
}

func allDone(steps []scheduler.ID, plan *scheduler.Plan) bool {
	for _, id := range steps {
		if s := plan.FindStep(id); s == nil || s.State != scheduler.Complete {
			return false
		}
	}
	return true
}

// visible are the events of a calendar: what is planned, and what is cancelled while
// it would still lie ahead.
func visible(all, now []db.ShownWindow, plan *scheduler.Plan) []db.ShownWindow {
	return slices.DeleteFunc(all, func(w db.ShownWindow) bool {
		if w.Cancelled {
			return !w.Until.After(plan.AsOf)
		}
		return !slices.ContainsFunc(now, func(n db.ShownWindow) bool { return n.Place == w.Place && slices.Equal(n.Steps, w.Steps) })
	})
}
