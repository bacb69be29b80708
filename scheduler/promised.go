package scheduler

import (
	"slices"
	"time"

	"gaugerod/scheduler/worktime"
)

// Standing is what a plan makes of a window that was promised, or that an earlier
// plan had.
type Standing struct {
	From, Until worktime.Date // the days it has now; recorded ones where work has begun
	Begun       bool          // some of it has started
	Over        bool          // all of it is done
	Gone        bool          // none of its steps is that trade's in that place any more
}

// StandingOf asks what has become of the steps that a trade was to do in a place; find
// is the planned step of a name in the plan, nil where it has none. Their days are those of the steps themselves, from the first start to the last
// finish, so that the answer does not change when the window is run together with
// another one, when it is parted, or when a part of it is done and has no window
// any more.
func StandingOf(find func(ID) *PlannedStep, trade, place ID, steps []ID) Standing {
	s := Standing{Gone: true, Over: true}
	var from, until time.Time
	for _, id := range steps {
		st := find(id)
		if st == nil || !slices.Contains(st.Trades, trade) || !slices.Contains(st.Places, place) {
			continue
		}
		if s.Gone || st.Start.Before(from) {
			from = st.Start
		}
		if s.Gone || st.Finish.After(until) {
			until = st.Finish
		}
		s.Gone = false
		s.Begun = s.Begun || st.State == Underway || st.State == Complete
		s.Over = s.Over && st.State == Complete
	}
	if s.Gone {
		return Standing{Gone: true}
	}
	s.From, s.Until = civilDays(from, until)
	return s
}

// Moved says whether a window that was to be on these days has moved: the civil day
// of its start or of its end differs, or it is gone. Once it has begun, its start is
// a fact and its end counts alone, and only when it is later. What is over is past
// and has not moved.
func (s Standing) Moved(from, until worktime.Date) bool {
	switch {
	case s.Gone:
		return true
	case s.Over:
		return false
	case s.Begun:
		return s.Until > until
	}
	return s.From != from || s.Until != until
}
