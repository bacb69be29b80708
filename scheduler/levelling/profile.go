package levelling

import (
	"sort"

	"gaugerod/scheduler/worktime"
)

// profile is how much of one limit is taken over time: level[k] from at[k] until
// at[k+1], nothing before at[0]. The last level is that of open-ended uses.
type profile struct {
	at    []worktime.Instant
	level []int32
}

func (p *profile) reset() { p.at, p.level = p.at[:0], p.level[:0] }

// before is the index of the last breakpoint at or before t, or -1.
func (p *profile) before(t worktime.Instant) int {
	if n := len(p.at); n > 0 && p.at[n-1] <= t {
		return n - 1
	}
	return sort.Search(len(p.at), func(k int) bool { return p.at[k] > t }) - 1
}

// clash is when the last stretch within [from, to) that has a level above most
// ends; ok when there is none.
func (p *profile) clash(from, to worktime.Instant, most int32) (end worktime.Instant, ok bool) {
	first := max(p.before(from), 0)
	last := len(p.at) - 1
	if to < worktime.Never {
		last = p.before(to - 1)
	}
	for k := last; k >= first; k-- {
		if p.level[k] > most {
			if k+1 < len(p.at) {
				return p.at[k+1], false
			}
			return worktime.Never, false
		}
	}
	return 0, true
}

// add changes the level within [from, to) by an amount.
func (p *profile) add(from, to worktime.Instant, amount int32) {
	if from >= to {
		return
	}
	k := p.cut(from)
	end := len(p.at)
	if to < worktime.Never {
		end = p.cut(to)
	}
	for ; k < end; k++ {
		p.level[k] += amount
	}
}

// cut makes t a breakpoint and returns its index.
func (p *profile) cut(t worktime.Instant) int {
	k := p.before(t)
	if k >= 0 && p.at[k] == t {
		return k
	}
	level := int32(0)
	if k >= 0 {
		level = p.level[k]
	}
	p.at = append(p.at, 0)
	p.level = append(p.level, 0)
	copy(p.at[k+2:], p.at[k+1:])
	copy(p.level[k+2:], p.level[k+1:])
	p.at[k+1], p.level[k+1] = t, level
	return k + 1
}
