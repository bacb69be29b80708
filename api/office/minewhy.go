package office

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// MyReason is one thing that holds a window where it is planned.
type MyReason struct {
	Text string         `json:"text"`
	On   *worktime.Date `json:"on,omitempty" doc:"The day on which that is over."`
}

// why is what holds the first step of a window that is not begun: what it waits for, and
// of others' work no more than that there is some.
func (v *mineView) why(w *scheduler.Window) []MyReason {
	var first *scheduler.PlannedStep
	for _, id := range w.Steps {
		if st := v.steps[id]; st != nil && st.State != scheduler.Complete && (first == nil || st.Start.Before(first.Start)) {
			first = st
		}
	}
	all := make([]MyReason, 0)
	if first == nil {
		return all
	}
	for k := range first.Drivers {
		if r := v.reason(first, &first.Drivers[k]); !slices.ContainsFunc(all, func(o MyReason) bool { return o.Text == r.Text }) {
			all = append(all, r)
		}
	}
	return all
}

// reasonsOfOthers say without names what holds a step that is not the trade's own doing.
var reasonsOfOthers = map[scheduler.DriverKind]string{
	scheduler.ByWait:      "other work comes first",
	scheduler.ByLimit:     "the place, or what you need there, is in use before",
	scheduler.ByCalendar:  "nobody can work on it in the days before",
	scheduler.ByAsOf:      "nothing holds it: it can begin at once",
	scheduler.ByStart:     "the job does not start before",
	scheduler.ByPin:       "somebody on the job has fixed that day",
	scheduler.ByExpected:  "that is the latest word on when it comes",
	scheduler.ByNotice:    "it has to be announced some days ahead",
	scheduler.ByBooked:    "the visit is booked for then",
	scheduler.ByFact:      "it has begun",
	scheduler.ByHeld:      "earlier it would only lie on site unused",
	scheduler.ByVisit:     "it waits for your other work, so that you come once for both",
	scheduler.ByBefore:    "it was planned so before, and nobody gains by moving it",
	scheduler.ByEachOther: "it and other work hold each other",
}

func (v *mineView) reason(s *scheduler.PlannedStep, d *scheduler.Driver) MyReason {
	before := v.steps[d.Step]
	needed := slices.ContainsFunc(s.Needs, func(n scheduler.Need) bool { return n.Step == d.Step })
	if before == nil || !needed && !v.isOf(d.Step, v.trade.ID) {
		return MyReason{Text: reasonsOfOthers[d.Kind]}
	}
	on := lastDay(before.Finish)
	return MyReason{Text: "“" + before.Title + "” comes first", On: &on}
}
