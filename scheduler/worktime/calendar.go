package worktime

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
	from       Instant // when the first stretch opens
	opens      ladder  // when each stretch opens, in minutes after the first
	before     ladder  // the working minutes before it; the end of the list is the total
	total      int64
}

// Continuous is the calendar of real time.
func Continuous() *Calendar { return &Calendar{continuous: true} }

// FromStretches makes a calendar of half-open stretches whose opens ascend;
// stretches that touch or overlap are kept as one, empty ones are dropped.
func FromStretches(open, shut []Instant) *Calendar {
	c := roomFor(len(open))
	for k := range open {
		c.add(open[k], shut[k])
	}
	return c.index()
}

// roomFor is a calendar to which n stretches can be added.
func roomFor(n int) *Calendar {
	return &Calendar{opens: ladder{items: make([]int32, 0, n+1)}, before: ladder{items: make([]int32, 0, n+1)}}
}

// add puts a stretch at the end, joined to the one before where they touch. What
// an earlier stretch already has is not counted twice, and what lies beyond the reach
// of a calendar not at all.
func (c *Calendar) add(open, shut Instant) {
	end := Ever
	if len(c.opens.items) == 0 {
		c.from = open
	} else {
		end = c.lastShut()
	}
	open, shut = max(open, end), min(shut, c.from+beyond-1)
	if open >= shut {
		return
	}
	if open > end {
		c.opens.items = append(c.opens.items, int32(open-c.from))
		c.before.items = append(c.before.items, int32(c.total))
	}
	c.total += int64(shut - open)
}

// lastShut is when the last stretch shuts while stretches are added.
func (c *Calendar) lastShut() Instant {
	last := len(c.opens.items) - 1
	return c.from + Instant(int64(c.opens.items[last])+c.total-int64(c.before.items[last]))
}

// index makes the calendar ready to be asked.
func (c *Calendar) index() *Calendar {
	end := Instant(0)
	if len(c.opens.items) > 0 {
		end = c.lastShut() - c.from
	}
	c.opens.lay(int32(end), beyond)
	c.before.lay(int32(c.total), int32(c.total))
	return c
}

// stretches is how many stretches the calendar has.
func (c *Calendar) stretches() int { return len(c.opens.items) - 1 }

func (c *Calendar) open(k int) Instant { return c.from + Instant(c.opens.items[k]) }

func (c *Calendar) shut(k int) Instant {
	return c.open(k) + Instant(c.before.items[k+1]-c.before.items[k])
}

// stretch is the last stretch that opens at or before t, -1 where there is none.
func (c *Calendar) stretch(t Instant) int { return c.opens.find(int64(t - c.from)) }

// Bytes is how many bytes a calendar takes.
func (c *Calendar) Bytes() int {
	return 4 * (cap(c.opens.items) + cap(c.before.items) + cap(c.opens.at) + cap(c.before.at))
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
	k := c.stretch(t)
	if k < 0 {
		return 0
	}
	return min(int64(c.before.items[k])+int64(t-c.open(k)), int64(c.before.items[k+1]))
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
	k := c.before.find(w - 1)
	return c.open(k) + Instant(w-int64(c.before.items[k]))
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
	k := c.before.find(w)
	return c.open(k) + Instant(w-int64(c.before.items[k]))
}

// NextOpen is the least instant at or after t at which a step of some length can start.
func (c *Calendar) NextOpen(t Instant) Instant {
	if c.continuous {
		return t
	}
	k := c.stretch(t)
	if k >= 0 && t < c.shut(k) {
		return t
	}
	if k+1 == c.stretches() {
		return Never
	}
	return c.open(k + 1)
}

// NextEdge is the least instant at or after t at which a step of no length can
// stand: inside a stretch or at either end of it.
func (c *Calendar) NextEdge(t Instant) Instant {
	if c.continuous {
		return t
	}
	if k := c.stretch(t); k >= 0 && t == c.shut(k) {
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
	k := c.stretch(t)
	if k < 0 {
		return Ever
	}
	return min(t, c.shut(k))
}

// Overlap is the calendar that works when both a and b work.
func Overlap(a, b *Calendar) *Calendar {
	if a.continuous {
		return b
	}
	if b.continuous {
		return a
	}
	c := roomFor(max(a.stretches(), b.stretches()))
	for i, j := 0, 0; i < a.stretches() && j < b.stretches(); {
		c.add(max(a.open(i), b.open(j)), min(a.shut(i), b.shut(j)))
		if a.shut(i) < b.shut(j) {
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
	r := roomFor(c.stretches())
	for k := c.stretches() - 1; k >= 0; k-- {
		r.add(-c.shut(k), -c.open(k))
	}
	return r.index()
}
