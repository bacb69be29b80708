package draw

import (
	"sort"
	"time"

	"gaugerod/scheduler/worktime"
)

// Hours is the stretch of a civil day in which a site works; Works is false on a
// day on which nobody does. The day itself begins at midnight, or when the clocks there
// first come to it.
type Hours struct {
	Begins     time.Time
	Open, Shut time.Time
	Works      bool
}

// Scale lays civil days out along a line. A day on which the site works is wide
// and its width is its working hours, so that work handed over in the evening and
// taken up in the morning touches; a day without work is narrow.
type Scale struct {
	From  worktime.Date
	Width float64
	wide  float64 // a working day
	days  []scaleDay
	end   time.Time
}

type scaleDay struct {
	*Hours
	left, width float64
}

// idle is how wide a day without work is, in parts of a working one, and mostIdle how wide
// at most, in pixels.
const (
	idle     = 0.28
	mostIdle = 60.0
)

// NewScale lays out a number of days, a working one day pixels wide.
func NewScale(from worktime.Date, days int, day float64, hours func(worktime.Date) *Hours) *Scale {
	s := &Scale{From: from, wide: day, days: make([]scaleDay, days), end: hours(from + worktime.Date(days)).Begins}
	for k := range s.days {
		d := from + worktime.Date(k)
		s.days[k] = scaleDay{Hours: hours(d), left: s.Width, width: day}
		if !s.days[k].Works {
			s.days[k].width = min(day*idle, mostIdle)
		}
		s.Width += s.days[k].width
	}
	return s
}

// X is where a time lies, between 0 and Width; what lies outside is at the edge.
func (s *Scale) X(t time.Time) float64 {
	k := sort.Search(len(s.days), func(k int) bool { return s.days[k].Begins.After(t) }) - 1
	switch {
	case k < 0:
		return 0
	case !t.Before(s.end):
		return s.Width
	}
	d := s.days[k]
	if !d.Works {
		return d.left
	}
	part := float64(t.Sub(d.Open)) / float64(d.Shut.Sub(d.Open))
	return min(d.left+d.width*min(1, max(0, part)), s.Width)
}

// Shows says whether any of the time from a to b lies on the scale.
func (s *Scale) Shows(a, b time.Time) bool {
	return !b.Before(s.start()) && a.Before(s.end)
}

func (s *Scale) start() time.Time { return s.days[0].Begins }

// Days is how many days the scale has.
func (s *Scale) Days() int { return len(s.days) }

// Lefts is where each day begins, and at last where the days end, in pixels.
func (s *Scale) Lefts() []float64 {
	all := make([]float64, 0, len(s.days)+1)
	for _, d := range s.days {
		all = append(all, d.left)
	}
	return append(all, s.Width)
}
