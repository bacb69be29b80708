package worktime

// Fit is the least start at or after t of d > 0 minutes of work, and when they are
// finished. It is NextOpen(t) with First(Work(start) + d), asked at once; both are
// Never where no work follows, the finish alone where too little does.
func (c *Calendar) Fit(t Instant, d int64) (start, finish Instant) {
	if c.continuous {
		return t, t + Instant(d)
	}
	k := c.stretchBefore(t)
	if k < 0 || t >= c.stretches[k].shut {
		if k++; k == len(c.stretches) {
			return Never, Never
		}
		t = c.stretches[k].open
	}
	s := &c.stretches[k]
	if finish = t + Instant(d); finish <= s.shut {
		return t, finish
	}
	return t, c.First(s.before + int64(t-s.open) + d)
}

// FitBy is the greatest start of d > 0 minutes of work that are finished by t, and
// when they then are. It is Last(Work(t) - d) with First(Work(t)), asked at once;
// both are Ever where less work lies before t.
func (c *Calendar) FitBy(t Instant, d int64) (start, finish Instant) {
	if c.continuous {
		return t - Instant(d), t
	}
	k := c.stretchBefore(t)
	if k < 0 {
		return Ever, Ever
	}
	if t == c.stretches[k].open {
		if k--; k < 0 {
			return Ever, Ever
		}
	}
	s := &c.stretches[k]
	finish = min(t, s.shut)
	if start = finish - Instant(d); start >= s.open {
		return start, finish
	}
	w := s.before + int64(finish-s.open) - d
	if w < 0 {
		return Ever, Ever
	}
	return c.Last(w), finish
}
