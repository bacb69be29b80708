package worktime_test

import (
	"time"

	. "gaugerod/scheduler/worktime"
)

// plainCalendar is the slow reference: one bool a minute from the instant base on,
// made with package time alone by asking clocks for every minute.
type plainCalendar struct {
	base  Instant
	works []bool
}

// shownBy is the first minute at or after from at which clocks in the zone show the
// civil day and the time or later. It looks at every minute.
func shownBy(from Instant, day Date, clock Clock, zone *time.Location) Instant {
	for u := from; ; u++ {
		t := time.Unix(int64(u)*60, 0).In(zone)
		shown := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC)
		y, m, d := civil(day)
		want := time.Date(y, m, d, 0, int(clock), 0, 0, time.UTC)
		if !shown.Before(want) {
			return u
		}
	}
}

func civil(day Date) (int, time.Month, int) {
	return time.Unix(int64(day)*86400, 0).UTC().Date()
}

// newPlain lays out the week by hand over the days from and to.
func newPlain(zone *time.Location, from, to Date, week Week, off []DateRange) *plainCalendar {
	y, m, d := civil(from)
	base := Instant(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()/60) - 26*60
	p := &plainCalendar{base: base, works: make([]bool, (int(to-from)+4)*24*60)}
	for day := from; day <= to; day++ {
		closed := false
		for _, r := range off {
			closed = closed || (r.From <= day && day <= r.To)
		}
		y, m, d := civil(day)
		noon := time.Date(y, m, d, 12, 0, 0, 0, time.UTC)
		for _, period := range week[noon.Weekday()] {
			search := Instant(noon.Unix()/60) - 38*60
			opens := shownBy(search, day, period.From, zone)
			shuts := shownBy(opens, day, period.To, zone)
			for u := opens; u < shuts && !closed; u++ {
				p.works[u-base] = true
			}
		}
	}
	return p
}

func (p *plainCalendar) end() Instant { return p.base + Instant(len(p.works)) }

func (p *plainCalendar) at(t Instant) bool {
	return t >= p.base && t < p.end() && p.works[t-p.base]
}

func (p *plainCalendar) work(t Instant) (sum int64) {
	for u := p.base; u < min(t, p.end()); u++ {
		if p.at(u) {
			sum++
		}
	}
	return sum
}

// first is the least instant with work(t) >= w, for w > 0.
func (p *plainCalendar) first(w int64) Instant {
	var sum int64
	for u := p.base; u < p.end(); u++ {
		if p.at(u) {
			if sum++; sum == w {
				return u + 1
			}
		}
	}
	return Never
}

// last is the greatest instant with work(t) <= w, for w >= 0.
func (p *plainCalendar) last(w int64) Instant {
	var sum int64
	for u := p.base; u < p.end(); u++ {
		if p.at(u) {
			if sum++; sum > w {
				return u
			}
		}
	}
	return Never
}

func (p *plainCalendar) nextOpen(t Instant) Instant {
	for u := max(t, p.base); u < p.end(); u++ {
		if p.at(u) {
			return u
		}
	}
	return Never
}

func (p *plainCalendar) edge(t Instant) bool { return p.at(t) || p.at(t-1) }

func (p *plainCalendar) nextEdge(t Instant) Instant {
	for u := max(t, p.base); u <= p.end(); u++ {
		if p.edge(u) {
			return u
		}
	}
	return Never
}

func (p *plainCalendar) lastEdge(t Instant) Instant {
	for u := min(t, p.end()); u >= p.base; u-- {
		if p.edge(u) {
			return u
		}
	}
	return Ever
}

// overlapPlain works when both do; they have the same base and length.
func overlapPlain(a, b *plainCalendar) *plainCalendar {
	p := &plainCalendar{base: a.base, works: make([]bool, len(a.works))}
	for k := range p.works {
		p.works[k] = a.works[k] && b.works[k]
	}
	return p
}
