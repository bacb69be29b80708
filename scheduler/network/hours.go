package network

import (
	"cmp"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// hours is a week less days off, which are in order and apart. To overlap two of them
// is much less work than to overlap the calendars laid out from them, and is the same,
// because clocks show the times of a day in order.
type hours struct {
	week worktime.Week
	off  []worktime.DateRange
}

func hoursOf(week *worktime.Week, closures []scheduler.Closure) hours {
	off := make([]worktime.DateRange, len(closures))
	for k, c := range closures {
		off[k] = worktime.DateRange{From: c.From, To: c.To}
	}
	return hours{*week, apart(off)}
}

// apart joins days off that touch or overlap, in order.
func apart(off []worktime.DateRange) []worktime.DateRange {
	slices.SortFunc(off, func(a, b worktime.DateRange) int { return cmp.Compare(a.From, b.From) })
	joined := off[:0]
	for _, r := range off {
		switch last := len(joined) - 1; {
		case r.To < r.From:
		case last >= 0 && r.From <= joined[last].To+1:
			joined[last].To = max(joined[last].To, r.To)
		default:
			joined = append(joined, r)
		}
	}
	return joined
}

// and is the hours in which both work.
func (h *hours) and(o *hours) hours {
	both := hours{off: apart(slices.Concat(h.off, o.off))}
	for day := range both.week {
		both.week[day] = overlap(h.week[day], o.week[day])
	}
	return both
}

// overlap is the periods of a day that lie in one of each.
func overlap(a, b []worktime.Period) []worktime.Period {
	if slices.Equal(a, b) {
		return a
	}
	var both []worktime.Period
	for len(a) > 0 && len(b) > 0 {
		p := worktime.Period{From: max(a[0].From, b[0].From), To: min(a[0].To, b[0].To)}
		if p.From < p.To {
			both = append(both, p)
		}
		if a[0].To < b[0].To {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return both
}

// key is the same for hours that are the same.
func (h *hours) key() string {
	var room [200]byte
	key := room[:0]
	for _, day := range h.week {
		key = append(key, byte(len(day)))
		for _, p := range day {
			key = append(key, byte(p.From>>8), byte(p.From), byte(p.To>>8), byte(p.To))
		}
	}
	for _, r := range h.off {
		for _, d := range [...]worktime.Date{r.From, r.To} {
			key = append(key, byte(d>>24), byte(d>>16), byte(d>>8), byte(d))
		}
	}
	return string(key)
}
