package levelling

import (
	"math/bits"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// grid is the serial scheme for plain problems: real time, nothing begun, no most
// times, no occupations, a few limits and a short time. What is left of all limits in a
// unit of time lies side by side in one word, a lane each, so that one subtraction says
// whether a step fits (Lamport, "Multiple byte processing with full-word instructions",
// CACM 18, 1975). It makes the schedules that serial makes, several times as fast.
type grid struct {
	p       *Problem
	base    worktime.Instant
	early   []worktime.Instant
	length  []int64
	take    []uint64 // by step: what it takes, a lane for each limit
	full    uint64   // the sizes, with the guard bit of each lane set
	guard   uint64   // the bit above each lane, which a step that does not fit clears
	left    []uint64 // by unit of time
	least   []int64  // by step: its earliest start
	onwards [2]links // with time running forwards and backwards
	waiting []int32
	at      []int64
	due     []int32 // a heap of steps that may be placed
	spare   [][]int64
}

// links are the waits of a plain problem in one direction.
type links struct {
	out, in [][]link
}

type link struct {
	to  int32
	lag int64 // from start to start
}

// longestGrid is the most units of time that a grid may have.
const longestGrid = 1 << 14

// newGrid is nil for problems that are not plain.
func newGrid(p *Problem, early *network.Times) *grid {
	n := p.Graph.Steps()
	g := &grid{
		p: p, base: p.Graph.AsOf, early: early.Start, length: p.Graph.Rest, take: make([]uint64, n), least: make([]int64, n),
		waiting: make([]int32, n), at: make([]int64, n),
	}
	for i := range g.least {
		g.least[i] = int64(early.Start[i] - g.base)
	}
	if !g.realTime() || !g.lanes() || !g.link() {
		return nil
	}
	return g
}

// realTime says whether every step is open, in real time, without pin or due day.
func (g *grid) realTime() bool {
	h := g.p.Graph
	for i := range g.length {
		plain := h.Cal[i] == network.RealTime && h.Progress[i] == network.Open
		if !plain || h.Upper[i] < worktime.Never || h.Due[i] < worktime.Never || g.least[i] < 0 || g.least[i] > longestGrid {
			return false
		}
	}
	return true
}

// lanes lays the limits side by side; false when they do not fit into a word.
func (g *grid) lanes() bool {
	shift := make([]int, len(g.p.Limits))
	next := 0
	for l := range g.p.Limits {
		shift[l] = next
		size := uint64(max(g.p.Limits[l].Size, 0))
		if next += bits.Len64(size) + 1; next > 64 {
			return false
		}
		g.full |= size << shift[l]
		g.guard |= 1 << (next - 1)
	}
	g.full |= g.guard
	for u := range g.p.Uses {
		use := &g.p.Uses[u]
		if use.From != use.To || use.Amount > g.p.Limits[use.Limit].Size {
			return false
		}
		if g.length[use.From] > 0 {
			g.take[use.From] += uint64(use.Amount) << shift[use.Limit]
		}
	}
	return true
}

// link lays the waits out both ways; false when one is no plain least time or the
// whole may take too long.
func (g *grid) link() bool {
	n := len(g.length)
	for k := range g.onwards {
		g.onwards[k] = links{out: make([][]link, n), in: make([][]link, n)}
	}
	reach := slices.Clone(g.length) // by step: how far it can push another on, either way
	for k := range g.p.Graph.Arcs {
		a := &g.p.Graph.Arcs[k]
		if a.Most || a.Dropped || a.From == a.To || a.Cal != network.RealTime {
			return false
		}
		lag := a.Lag
		if a.FromEnd == scheduler.Finish {
			lag += g.length[a.From]
		}
		if a.ToEnd == scheduler.Finish {
			lag -= g.length[a.To]
		}
		turned := lag + g.length[a.To] - g.length[a.From]
		reach[a.From], reach[a.To] = max(reach[a.From], lag), max(reach[a.To], turned)
		g.onwards[0].add(a.From, a.To, lag)
		g.onwards[1].add(a.To, a.From, turned)
	}
	units, first := int64(0), int64(0)
	for i, r := range reach {
		units, first = units+r, max(first, g.least[i])
	}
	units += first
	if units > longestGrid {
		return false
	}
	g.left = make([]uint64, units+1)
	return g.pass(&g.onwards[0], g.least, g.least) >= 0
}

func (l *links) add(from, to int32, lag int64) {
	l.out[from] = append(l.out[from], link{to, lag})
	l.in[to] = append(l.in[to], link{from, lag})
}

// pass places the steps in an order, each as early as waits and limits let it be, and
// returns the last finish; -1 when some wait for each other.
func (g *grid) pass(way *links, order, least []int64) int64 {
	for t := range g.left {
		g.left[t] = g.full
	}
	g.due = g.due[:0]
	for i := range g.waiting {
		if g.waiting[i] = int32(len(way.in[i])); g.waiting[i] == 0 {
			g.push(int32(i), order)
		}
	}
	last, placed := int64(0), 0
	for ; len(g.due) > 0; placed++ {
		i := g.pull(order)
		t := int64(0)
		if least != nil {
			t = least[i]
		}
		for _, l := range way.in[i] {
			t = max(t, g.at[l.to]+l.lag)
		}
		g.at[i] = g.put(i, t)
		last = max(last, g.at[i]+g.length[i])
		for _, l := range way.out[i] {
			if g.waiting[l.to]--; g.waiting[l.to] == 0 {
				g.push(l.to, order)
			}
		}
	}
	if placed < len(g.at) {
		return -1
	}
	return last
}

// put finds the first time from t on at which a step fits, and takes it.
func (g *grid) put(i int32, t int64) int64 {
	take, length := g.take[i], g.length[i]
	if take == 0 {
		return t
	}
	for k := t + length - 1; k >= t; k-- {
		if (g.left[k]-take)&g.guard != g.guard {
			t = k + 1
			k = t + length
		}
	}
	for k := range g.left[t : t+length] {
		g.left[t+int64(k)] -= take
	}
	return t
}

func (g *grid) push(i int32, order []int64) {
	g.due = append(g.due, i)
	k := len(g.due) - 1
	for k > 0 {
		up := (k - 1) / 2
		if !goesBefore(order, i, g.due[up]) {
			break
		}
		g.due[k] = g.due[up]
		k = up
	}
	g.due[k] = i
}

func (g *grid) pull(order []int64) int32 {
	first, end := g.due[0], len(g.due)-1
	i := g.due[end]
	g.due = g.due[:end]
	if end == 0 {
		return first
	}
	k := 0
	for {
		down := 2*k + 1
		if down >= end {
			break
		}
		if down+1 < end && goesBefore(order, g.due[down+1], g.due[down]) {
			down++
		}
		if !goesBefore(order, g.due[down], i) {
			break
		}
		g.due[k] = g.due[down]
		k = down
	}
	g.due[k] = i
	return first
}

func goesBefore(order []int64, a, b int32) bool {
	return order[a] < order[b] || order[a] == order[b] && a < b
}

// ahead implements maker.
func (g *grid) ahead(order []int64, _ bool) parent {
	last := g.pass(&g.onwards[0], order, g.least)
	out := parent{order: g.blank(), kept: true, end: int64(g.base) + last}
	for i, t := range g.at {
		out.order[i] = int64(g.base) + t + g.length[i]
	}
	return out
}

// schedule implements maker.
func (g *grid) schedule() Schedule {
	t := network.NewTimes(len(g.at))
	for i, at := range g.at {
		t.Start[i] = g.base + worktime.Instant(at)
		t.Finish[i] = t.Start[i] + worktime.Instant(g.length[i])
	}
	return g.p.measured(t)
}

// back implements maker.
func (g *grid) back(order []int64, best *Schedule) parent {
	turned := g.blank()
	for i, at := range order {
		turned[i] = -at
	}
	g.pass(&g.onwards[1], turned, nil)
	for i, at := range g.at {
		turned[i] = int64(best.Last) - at - g.length[i]
	}
	return parent{order: turned, kept: true, end: movedOn(best, turned, g.early)}
}

// free implements maker.
func (g *grid) free(order []int64) { g.spare = append(g.spare, order) }

func (g *grid) blank() []int64 {
	if k := len(g.spare) - 1; k >= 0 {
		order := g.spare[k]
		g.spare = g.spare[:k]
		return order
	}
	return make([]int64, len(g.at))
}
