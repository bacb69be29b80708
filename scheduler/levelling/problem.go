package levelling

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
)

// NewProblem reads the limits of a graph's network. Steps that are done and steps
// of no length take nothing; begun ones take their limits for the rest.
func NewProblem(g *network.Graph) *Problem {
	b := &builder{p: &Problem{Graph: g}, within: map[scheduler.ID]*scheduler.Place{}, limits: map[key]int32{}}
	for k := range g.Net.Job.Places {
		place := &g.Net.Job.Places[k]
		b.within[place.ID] = place
	}
	b.crews()
	b.gear()
	b.rooms()
	b.alone()
	b.p.Uses = b.uses
	b.p.orderOccupations()
	b.p.index()
	return b.p
}

// Of is a problem of a graph with limits and uses that are given.
func Of(g *network.Graph, limits []Limit, uses []Use) *Problem {
	p := &Problem{Graph: g, Limits: limits, Uses: uses}
	p.index()
	return p
}

type key struct {
	kind Kind
	id   scheduler.ID
}

type builder struct {
	p      *Problem
	uses   []Use
	within map[scheduler.ID]*scheduler.Place
	limits map[key]int32
	shared []map[int32]bool // by occupation, see sharing
}

func (b *builder) limit(kind Kind, id scheduler.ID, size int) int32 {
	k := key{kind, id}
	l, ok := b.limits[k]
	if !ok {
		l = int32(len(b.p.Limits))
		b.limits[k] = l
		b.p.Limits = append(b.p.Limits, Limit{Kind: kind, ID: id, Size: int32(size)})
	}
	return l
}

func (b *builder) use(limit, amount, from, to, occupation int32) {
	amount = min(amount, b.p.Limits[limit].Size)
	b.uses = append(b.uses, Use{Limit: limit, Amount: amount, From: from, To: to, Occupation: occupation})
}

// takes says whether a step takes limits at all.
func (b *builder) takes(i int) bool {
	g := b.p.Graph
	return g.Progress[i] != network.Done && g.Rest[i] > 0
}

func (b *builder) crews() {
	net := b.p.Graph.Net
	crews := map[scheduler.ID]int{}
	for k := range net.Job.Trades {
		crews[net.Job.Trades[k].ID] = max(net.Job.Trades[k].Crews, 1)
	}
	for i := range net.Steps {
		s := &net.Steps[i]
		if s.Kind == scheduler.StageStep || !b.takes(i) {
			continue
		}
		for _, t := range s.Trades {
			b.use(b.limit(Crews, t, crews[t]), int32(max(s.Crews, 1)), int32(i), int32(i), -1)
		}
	}
}

func (b *builder) gear() {
	net := b.p.Graph.Net
	count := map[scheduler.ID]int{}
	for k := range net.Job.Gear {
		count[net.Job.Gear[k].ID] = max(net.Job.Gear[k].Count, 1)
	}
	for i := range net.Steps {
		if !b.takes(i) {
			continue
		}
		for _, id := range net.Steps[i].Gear {
			if b.heldFor(id, i) {
				continue
			}
			b.use(b.limit(Gear, id, count[id]), 1, int32(i), int32(i), -1)
		}
	}
	for k := range net.Occupations {
		if o := &net.Occupations[k]; o.Gear != "" {
			b.occupy(b.limit(Gear, o.Gear, count[o.Gear]), 1, k)
		}
	}
}

// heldFor says whether gear is held for step i by an occupation that it lies within.
func (b *builder) heldFor(gear scheduler.ID, i int) bool {
	for k := range b.p.Graph.Net.Occupations {
		if b.p.Graph.Net.Occupations[k].Gear == gear && b.sharing(k)[int32(i)] {
			return true
		}
	}
	return false
}

// sharing is the steps that share what occupation k holds and so take none of
// their own: of those that begin and end it and those it admits, the ones that lie
// within it whatever the dates. One that can also run outside takes its own.
func (b *builder) sharing(k int) map[int32]bool {
	if b.shared == nil {
		b.shared = make([]map[int32]bool, len(b.p.Graph.Net.Occupations))
	}
	if b.shared[k] == nil {
		b.shared[k] = b.findSharing(k)
	}
	return b.shared[k]
}

func (b *builder) findSharing(k int) map[int32]bool {
	net := b.p.Graph.Net
	o := &net.Occupations[k]
	steps := map[int32]bool{}
	from, okFrom := net.Find(o.From)
	to, okTo := net.Find(o.To)
	if !okFrom || !okTo || b.p.Graph.Progress[to] == network.Done {
		return steps
	}
	order := b.p.around(&Use{From: int32(from), To: int32(to)})
	for _, id := range append([]scheduler.ID{o.From, o.To}, o.Admits...) {
		if i, ok := net.Find(id); ok && order.holds(int32(i)) {
			steps[int32(i)] = true
		}
	}
	return steps
}

// occupy adds an occupation's use, unless it is over. An occupation that has begun
// holds from the rest of its first step, or from as of when that is done.
func (b *builder) occupy(limit, amount int32, k int) {
	net := b.p.Graph.Net
	from, okFrom := net.Find(net.Occupations[k].From)
	to, okTo := net.Find(net.Occupations[k].To)
	if !okFrom || !okTo || b.p.Graph.Progress[to] == network.Done {
		return
	}
	b.use(limit, amount, int32(from), int32(to), int32(k))
}

// admits says whether a step may be in an occupied place all the same: the steps
// that begin and end the occupation may.
func admits(o *scheduler.Occupation, id scheduler.ID) bool {
	return id == o.From || id == o.To || slices.Contains(o.Admits, id)
}
