package worktime

import "sort"

// Calendar is working time laid out on the line of instants: half-open stretches
// [open, shut) in order, with the working minutes before each. It answers in
// logarithmic time how much work lies before an instant and where an amount of
// work is reached. A nil stretch list with continuous set is real time, in which
// every minute works.
//
// With W(t) the working minutes before t, a step of length d that starts at s
// finishes at the least f with W(f) = W(s) + d. Starts are kept where work is
// possible (in [open, shut)), finishes in (open, shut]; a step of no length may
// stand anywhere in [open, shut].
type Calendar struct {
	continuous bool
	open, shut []Instant
	before     []int64 // before[k]: working minutes before open[k]
	total      int64
}

// Continuous is the calendar of real time.
func Continuous() *Calendar { return &Calendar{continuous: true} }

// FromStretches makes a calendar of half-open stretches in ascending order;
// stretches that touch are kept as one, empty ones are dropped.
func FromStretches(open, shut []Instant) *Calendar {
	c := &Calendar{}
	for k := range open {
		c.add(open[k], shut[k])
	}
	return c
}

// add puts a stretch at the end, joined to the one before where they touch.
func (c *Calendar) add(open, shut Instant) {
	if open >= shut {
		return
	}
	if n := len(c.shut); n > 0 && c.shut[n-1] == open {
		c.shut[n-1] = shut
	} else {
		c.open = append(c.open, open)
		c.shut = append(c.shut, shut)
		c.before = append(c.before, c.total)
	}
	c.total += int64(shut - open)
}

// IsContinuous says whether the calendar is real time.
func (c *Calendar) IsContinuous() bool { return c.continuous }

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
	return c.before[k] + int64(min(t, c.shut[k])-c.open[k])
}

// stretchBefore is the index of the last stretch with open <= t, or -1.
func (c *Calendar) stretchBefore(t Instant) int {
	return sort.Search(len(c.open), func(k int) bool { return c.open[k] > t }) - 1
}

// First is the least instant t with W(t) >= w: where the w-th working minute
// ends. It is Never past the end of the calendar and Ever for w < 0.
func (c *Calendar) First(w int64) Instant {
	switch {
	case c.continuous:
		return Instant(w)
	case w < 0:
		return Ever
	case w > c.total:
		return Never
	case w == 0:
		return Ever
	}
	k := sort.Search(len(c.before), func(k int) bool { return c.before[k] >= w }) - 1
	return c.open[k] + Instant(w-c.before[k])
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
	k := sort.Search(len(c.before), func(k int) bool { return c.before[k] > w }) - 1
	return c.open[k] + Instant(w-c.before[k])
}

// NextOpen is the least instant at or after t at which a step of some length can start.
func (c *Calendar) NextOpen(t Instant) Instant {
	if c.continuous {
		return t
	}
	k := c.stretchBefore(t)
	if k >= 0 && t < c.shut[k] {
		return t
	}
	if k+1 == len(c.open) {
		return Never
	}
	return c.open[k+1]
}

// NextEdge is the least instant at or after t at which a step of no length can
// stand: inside a stretch or at either end of it.
func (c *Calendar) NextEdge(t Instant) Instant {
	if c.continuous {
		return t
	}
	if k := c.stretchBefore(t); k >= 0 && t == c.shut[k] {
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
	return min(t, c.shut[k])
}

// Overlap is the calendar that works when both a and b work.
func Overlap(a, b *Calendar) *Calendar {
	if a.continuous {
		return b
	}
	if b.continuous {
		return a
	}
	var open, shut []Instant
	for i, j := 0, 0; i < len(a.open) && j < len(b.open); {
		from, to := max(a.open[i], b.open[j]), min(a.shut[i], b.shut[j])
		if from < to {
			open, shut = append(open, from), append(shut, to)
		}
		if a.shut[i] < b.shut[j] {
			i++
		} else {
			j++
		}
	}
	return FromStretches(open, shut)
}
