package worktime

// Fit is the least start at or after t of d > 0 minutes of work, and when they are
// finished. It is NextOpen(t) with First(Work(start) + d), asked at once; both are
// Never where no work follows, the finish alone where too little does.
func (c *Calendar) Fit(t Instant, d int64) (start, finish Instant) {
	if c.continuous {
		return t, t + Instant(d)
	}
	if c.total == 0 {
		return Never, Never
	}
	k := max(c.stretch(t), 0)
	if k += oneIf(int64(c.shut(k)), int64(t)); k == c.stretches() {
		return Never, Never
	}
	start = max(t, c.open(k))
	w := int64(c.before.items[k]) + int64(start-c.open(k)) + d
	if w > c.total {
		return start, Never
	}
	k = c.before.find(w - 1)
	return start, c.open(k) + Instant(w-int64(c.before.items[k]))
}

// FitBy is the greatest start of d > 0 minutes of work that are finished by t, and
// when they then are. It is Last(Work(t) - d) with First(Work(t)), asked at once;
// both are Ever where less work lies before t.
func (c *Calendar) FitBy(t Instant, d int64) (start, finish Instant) {
	if c.continuous {
		return t - Instant(d), t
	}
	k := c.stretch(t - 1)
	if k < 0 {
		return Ever, Ever
	}
	finish = min(t, c.shut(k))
	w := int64(c.before.items[k]) + int64(finish-c.open(k)) - d
	if w < 0 {
		return Ever, Ever
	}
	k = c.before.find(w)
	return c.open(k) + Instant(w-int64(c.before.items[k])), finish
}
