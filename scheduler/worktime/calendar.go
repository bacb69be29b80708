package worktime

import "sort"

// Calendar is working time laid out on the line of instants: half-open stretches
// [open, shut) in order, with the working minutes before each. It answers how much
// work lies before an instant and where an amount of work is reached in constant
// time on the average, at most logarithmic. A continuous calendar is real time, in
// which every minute works.
//
// With W(t) the working minutes before t, a step of length d that starts at s
// finishes at the least f with W(f) = W(s) + d. Starts are kept where work is
// possible (in [open, shut)), finishes in (open, shut]; a step of no length may
// stand anywhere in [open, shut].
//
// A Calendar does not change once made and may be shared.
type Calendar struct {
	continuous bool
	stretches  []stretch
	total      int64
	byTime     ladder // over the stretches' opens
	byWork     ladder // over the work before them
}

// stretch is working time without a break.
type stretch struct {
	open, shut Instant
	before     int64 // working minutes before open
}

// Continuous is the calendar of real time.
func Continuous() *Calendar { return &Calendar{continuous: true} }

// FromStretches makes a calendar of half-open stretches whose opens ascend;
// stretches that touch or overlap are kept as one, empty ones are dropped.
func FromStretches(open, shut []Instant) *Calendar {
	c := &Calendar{stretches: make([]stretch, 0, len(open))}
	for k := range open {
		c.add(open[k], shut[k])
	}
	return c.index()
}

// add puts a stretch at the end, joined to the one before where they touch. What
// an earlier stretch already has is not counted twice.
func (c *Calendar) add(open, shut Instant) {
	last := len(c.stretches) - 1
	if last >= 0 {
		open = max(open, c.stretches[last].shut)
	}
	if open >= shut {
		return
	}
	if last >= 0 && c.stretches[last].shut == open {
		c.stretches[last].shut = shut
	} else {
		c.stretches = append(c.stretches, stretch{open, shut, c.total})
	}
	c.total += int64(shut - open)
}

// index makes the calendar ready to be asked.
func (c *Calendar) index() *Calendar {
	n := len(c.stretches)
	if n == 0 {
		return c
	}
	first := int64(c.stretches[0].open)
	c.byTime = newLadder(n, first, int64(c.stretches[n-1].shut), func(k int) int64 { return int64(c.stretches[k].open) })
	c.byWork = newLadder(n, 0, c.total, func(k int) int64 { return c.stretches[k].before })
	return c
}

// IsContinuous says whether the calendar is real time.
func (c *Calendar) IsContinuous() bool { return c.continuous }

// Total is the working minutes of the whole calendar, 0 for real time.
func (c *Calendar) Total() int64 { return c.total }

// Work is W(t): the working minutes before t. It rises from 0 and stays at the
// total after the last stretch.
func (c *Calendar) Work(t Instant) int64 {
	if c.continuous {
		return int64(t)
	}
	k := c.stretchBefore(t)
	if k < 0 {
		return 0
	}
	s := &c.stretches[k]
	return s.before + int64(min(t, s.shut)-s.open)
}

// stretchBefore is the index of the last stretch with open <= t, or -1.
func (c *Calendar) stretchBefore(t Instant) int {
	all := c.stretches
	if len(all) == 0 || t < all[0].open {
		return -1
	}
	lo, hi := c.byTime.rungs(int64(t))
	if hi-lo > scan {
		return lo + sort.Search(hi-lo, func(k int) bool { return all[lo+k+1].open > t })
	}
	for lo < hi && all[lo+1].open <= t {
		lo++
	}
	return lo
}

// stretchOfWork is the index of the last stretch with before <= w, for w >= 0 and
// a calendar that has a stretch.
func (c *Calendar) stretchOfWork(w int64) int {
	all := c.stretches
	lo, hi := c.byWork.rungs(w)
	if hi-lo > scan {
		return lo + sort.Search(hi-lo, func(k int) bool { return all[lo+k+1].before > w })
	}
	for lo < hi && all[lo+1].before <= w {
		lo++
	}
	return lo
}

// First is the least instant t with W(t) >= w: where the w-th working minute
// ends. It is Never past the end of the calendar and Ever for w <= 0.
func (c *Calendar) First(w int64) Instant {
	switch {
	case c.continuous:
		return Instant(w)
	case w <= 0:
		return Ever
	case w > c.total:
		return Never
	}
	s := &c.stretches[c.stretchOfWork(w-1)]
	return s.open + Instant(w-s.before)
}

// Last is the greatest instant t with W(t) <= w: where the next working minute
// after w starts. It is Never when no working minute follows and Ever for w < 0.
func (c *Calendar) Last(w int64) Instant {
	switch {
	case c.continuous:
		return Instant(w)
	case w < 0:
		return Ever
	case w >= c.total:
		return Never
	}
	s := &c.stretches[c.stretchOfWork(w)]
	return s.open + Instant(w-s.before)
}

// NextOpen is the least instant at or after t at which a step of some length can start.
func (c *Calendar) NextOpen(t Instant) Instant {
	if c.continuous {
		return t
	}
	k := c.stretchBefore(t)
	if k >= 0 && t < c.stretches[k].shut {
		return t
	}
	if k+1 == len(c.stretches) {
		return Never
	}
	return c.stretches[k+1].open
}

// NextEdge is the least instant at or after t at which a step of no length can
// stand: inside a stretch or at either end of it.
func (c *Calendar) NextEdge(t Instant) Instant {
	if c.continuous {
		return t
	}
	if k := c.stretchBefore(t); k >= 0 && t == c.stretches[k].shut {
		return t
	}
	return c.NextOpen(t)
}

// LastEdge is the greatest instant at or before t at which a step of no length
// can stand, Ever before the first stretch.
func (c *Calendar) LastEdge(t Instant) Instant {
	if c.continuous {
		return t
	}
	k := c.stretchBefore(t)
	if k < 0 {
		return Ever
	}
	return min(t, c.stretches[k].shut)
}

// Overlap is the calendar that works when both a and b work.
func Overlap(a, b *Calendar) *Calendar {
	if a.continuous {
		return b
	}
	if b.continuous {
		return a
	}
	c := &Calendar{stretches: make([]stretch, 0, max(len(a.stretches), len(b.stretches)))}
	for i, j := 0, 0; i < len(a.stretches) && j < len(b.stretches); {
		p, q := &a.stretches[i], &b.stretches[j]
		c.add(max(p.open, q.open), min(p.shut, q.shut))
		if p.shut < q.shut {
			i++
		} else {
			j++
		}
	}
	return c.index()
}

// Reverse is the calendar with time running backwards: it works at -t where c
// works at t.
func (c *Calendar) Reverse() *Calendar {
	if c.continuous {
		return c
	}
	n := len(c.stretches)
	open, shut := make([]Instant, n), make([]Instant, n)
	for k, s := range c.stretches {
		open[n-1-k], shut[n-1-k] = -s.shut, -s.open
	}
	return FromStretches(open, shut)
}
