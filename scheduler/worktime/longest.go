package worktime

// Longest is the most real minutes in which w working minutes are done, wherever on
// the calendar one starts from its first stretch on, breaks before the first of them
// included. Starts from which the calendar does not reach that far do not count.
func (c *Calendar) Longest(w int64) int64 {
	if c.continuous || w > c.total || w <= 0 {
		return w
	}
	from := max(c.First(c.total-w), c.open(0))
	longest := int64(c.End() - from) // the last that the calendar reaches
	to := 0                          // the stretch in which the last of the minutes is done
	for k := range c.stretches() {
		from, last := c.shut(k), int64(c.before.items[k+1])+w // within a stretch it takes the longer the later one starts
		if last > c.total {
			break
		}
		for int64(c.before.items[to+1]) < last {
			to++
		}
		longest = max(longest, int64(c.open(to)-from)+last-int64(c.before.items[to]))
	}
	return longest
}

// End is when the calendar's last stretch ends, Never for real time.
func (c *Calendar) End() Instant {
	if c.continuous {
		return Never
	}
	if c.stretches() == 0 {
		return Ever
	}
	return c.shut(c.stretches() - 1)
}
