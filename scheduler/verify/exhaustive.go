package verify

import (
	"slices"
	"time"

	"gaugerod/scheduler"
)

// Optimum is the best there is for a job: of all dates that keep everything it says,
// those that miss due days by the fewest minutes in all, and of these the ones that
// finish first.
type Optimum struct {
	Found  bool  // some dates keep everything
	Late   int64 // minutes by which steps finish after their first due day, in all
	Finish time.Time
}

// Exhaust finds the optimum of a small job that has passed rules.Check by trying every
// order of those who are in each other's way. Known is false when that took more than
// so many sets of dates.
//
// The least dates that keep all waits come first. Where at some moment more is taken
// than there is, two of those who take it cannot overlap in any dates that hold: for
// each two and either order the least dates are made again with the one after the
// other. Both lateness and finish only grow with dates, so what is no better than the
// best so far is left.
func Exhaust(job *scheduler.Job, asOf time.Time, most int) (best Optimum, known bool) {
	zone, err := time.LoadLocation(job.Zone)
	if err != nil {
		return Optimum{}, false
	}
	plan := &scheduler.Plan{AsOf: asOf} // which sets nothing aside
	c := &checker{job: job, plan: plan, zone: zone, asOf: minuteOf(asOf)}
	c.layOut()
	c.expand()
	e := &exhaustion{checker: c, left: most}
	for _, s := range c.steps {
		c.settle(s)
	}
	for _, j := range c.joins {
		if j.acts() {
			e.asked = append(e.asked, c.asks(j)...)
		}
	}
	e.lastPins()
	e.firstDues()
	e.allClaims()
	if d, ok := e.date(e.asked); ok {
		e.search(e.asked, d)
	}
	if e.best != nil {
		best = Optimum{Found: true, Late: int64(e.best.late), Finish: time.Unix(int64(e.best.finish)*60, 0).In(zone)}
	}
	return best, e.left > 0
}

// settle gives a step its recorded times and what is left of it.
func (c *checker) settle(s *step) {
	s.rest = s.length
	switch {
	case s.done():
		s.rest, s.finish = 0, c.recordedFinish(s)
		s.start = min(s.finish, s.cal.still(s.cal.upTo(s.finish)-s.length))
		if s.length == 0 {
			s.start = min(s.finish, s.cal.last(s.finish, 0))
		}
		if s.fact.Started != nil {
			s.start = min(s.finish, c.recordedStart(s))
		}
	case s.begun():
		s.start = c.recordedStart(s)
		s.rest = max(s.length-s.cal.between(s.start, c.asOf), leastRest)
		if s.fact.Remaining != nil {
			s.rest = c.minutes(*s.fact.Remaining)
		}
	}
}

// asks is what a wait asks of dates: between two recorded ends no most time.
func (c *checker) asks(j *join) []half {
	list := c.halves(j)
	if j.from.settled(j.fromEnd) && j.to.settled(j.toEnd) {
		list = list[:1]
	}
	return list
}

// exhaustion is one search under way.
type exhaustion struct {
	*checker
	asked  []half           // of every wait that acts
	latest map[*step]minute // the last moment a pin lets a step start
	due    map[*step]minute
	claims []claim
	best   *measure
	left   int // sets of dates that may yet be made
}

// measure is what dates are judged by.
type measure struct{ late, finish minute }

func (m measure) before(o measure) bool {
	return m.late < o.late || m.late == o.late && m.finish < o.finish
}

func (e *exhaustion) lastPins() {
	e.latest = map[*step]minute{}
	for _, s := range e.steps {
		if t, ok := e.pinnedUntil(s, false); ok && !s.done() {
			e.latest[s] = t
		}
	}
}

func (e *exhaustion) firstDues() {
	e.due = map[*step]minute{}
	for _, x := range e.job.Dues {
		if s := e.one(x.Step, ""); s != nil {
			t := e.clock(x.On+1, 0)
			if old, ok := e.due[s]; !ok || t < old {
				e.due[s] = t
			}
		}
	}
}

// date is the least dates with which everything asked holds, limits aside, if any do.
func (e *exhaustion) date(asked []half) (dates, bool) {
	if e.left--; e.left < 0 {
		return nil, false
	}
	d, ok := e.push(asked, func(*scheduler.Pin) bool { return true })
	for _, h := range e.asked {
		ok = ok && h.holds(d)
	}
	for s, t := range e.latest {
		ok = ok && d[s].start <= t
	}
	return d, ok
}

func (e *exhaustion) measure(d dates) measure {
	m := measure{finish: -never}
	for _, s := range e.steps {
		m.finish = max(m.finish, d[s].finish)
		if by, ok := e.due[s]; ok {
			m.late += max(0, d[s].finish-by)
		}
	}
	return m
}

// search goes on from the least dates of what is asked, the most promising first.
func (e *exhaustion) search(asked []half, d dates) {
	m := e.measure(d)
	if e.best != nil && !m.before(*e.best) {
		return
	}
	clash := e.firstClash(d)
	if clash == nil {
		e.best = &m
		return
	}
	type way struct {
		asked []half
		d     dates
		m     measure
	}
	var ways []way
	for _, order := range clash.orders() {
		more := slices.Concat(asked, []half{order})
		if next, ok := e.date(more); ok {
			ways = append(ways, way{more, next, e.measure(next)})
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int {
		switch {
		case a.m.before(b.m):
			return -1
		case b.m.before(a.m):
			return 1
		}
		return 0
	})
	for _, w := range ways {
		e.search(w.asked, w.d)
	}
}
