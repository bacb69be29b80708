package network

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// layFacts makes recorded times of steps, and returns which steps have a later
// word on when they come.
func (g *Graph) layFacts(zone *time.Location) (expected []bool) {
	expected = make([]bool, g.Steps())
	told := make([]bool, g.Steps())
	for k := range g.Net.Job.Facts {
		f := &g.Net.Job.Facts[k]
		i, ok := g.Net.Find(f.Step)
		if !ok {
			continue
		}
		told[i] = f.Booked != nil
		if f.Booked != nil {
			g.release(i, g.momentFrom(*f.Booked, zone), scheduler.ByBooked)
		}
		if f.Expected != nil {
			expected[i] = true
			g.release(i, g.momentFrom(*f.Expected, zone), scheduler.ByExpected)
		}
		switch done := firstOf(f.Done, f.Released); {
		case done != nil:
			g.layDone(i, f.Started, *done, zone)
		case f.Started != nil:
			g.layBegun(i, f, zone)
		}
	}
	g.layNotices(told)
	return expected
}

func firstOf(a, b *worktime.When) *worktime.When {
	if a != nil {
		return a
	}
	return b
}

func (g *Graph) layDone(i int, started *worktime.When, done worktime.When, zone *time.Location) {
	g.Progress[i] = Done
	if s := &g.Net.Steps[i]; s.Witness {
		g.Work[i] = g.Net.Job.Minutes(s.Takes)
		g.Rest[i] = g.Work[i]
	}
	g.Ended[i] = g.finishMoment(i, done, zone)
	if started != nil {
		g.Began[i] = min(g.startMoment(i, *started, zone), g.Ended[i])
		return
	}
	g.Began[i] = min(g.LastStartToFinishBy(i, g.Ended[i]), g.Ended[i])
}

// layBegun keeps the start; the rest is what was recorded, or the work less what
// could have been done since, as of.
func (g *Graph) layBegun(i int, f *scheduler.Fact, zone *time.Location) {
	g.Progress[i] = Begun
	g.Began[i] = g.startMoment(i, *f.Started, zone)
	c := g.Calendars[g.Cal[i]]
	g.Rest[i] = max(g.Work[i]-(c.Work(g.AsOf)-c.Work(g.Began[i])), leastRest)
	if f.Remaining != nil {
		g.Rest[i] = g.Net.Job.Minutes(*f.Remaining)
	}
	g.Release[i], g.ReleaseBy[i] = g.AsOf, scheduler.ByAsOf
	g.Upper[i], g.PinOf[i] = worktime.Never, -1
}

// layNotices keeps visits that nobody has been told of at least their notice away.
func (g *Graph) layNotices(told []bool) {
	site := g.Calendars[Site]
	for i := range g.Net.Steps {
		s := &g.Net.Steps[i]
		if s.Kind != scheduler.HoldStep || s.Witness || s.Notice.Zero() || told[i] || g.Progress[i] != Open {
			continue
		}
		minutes := g.Net.Job.Minutes(s.Notice)
		if s.Notice.Elapsed() {
			g.release(i, g.AsOf+worktime.Instant(minutes), scheduler.ByNotice)
		} else {
			g.release(i, site.First(site.Work(g.AsOf)+minutes), scheduler.ByNotice)
		}
	}
}

// momentFrom is the instant from which a booked or expected visit counts.
func (g *Graph) momentFrom(w worktime.When, zone *time.Location) worktime.Instant {
	if w.Time != nil {
		return w.Day.At(*w.Time, zone)
	}
	return w.Day.At(0, zone)
}

// startMoment is a recorded start: without a time of day, the first working minute.
func (g *Graph) startMoment(i int, w worktime.When, zone *time.Location) worktime.Instant {
	if w.Time != nil {
		return w.Day.At(*w.Time, zone)
	}
	open, shut := w.Day.At(0, zone), (w.Day+1).At(0, zone)
	for _, c := range []*worktime.Calendar{g.Calendars[g.Cal[i]], g.Calendars[Site]} {
		if t := c.NextOpen(open); t < shut {
			return t
		}
	}
	return open
}

// finishMoment is a recorded finish: without a time of day, the last working minute.
func (g *Graph) finishMoment(i int, w worktime.When, zone *time.Location) worktime.Instant {
	if w.Time != nil {
		return w.Day.At(*w.Time, zone)
	}
	open, shut := w.Day.At(0, zone), (w.Day+1).At(0, zone)
	for _, c := range []*worktime.Calendar{g.Calendars[g.Cal[i]], g.Calendars[Site]} {
		if t := c.LastEdge(shut); t > open {
			return t
		}
	}
	return shut
}
