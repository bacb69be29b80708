package levelling

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
)

// ClaimKind is what sort of statement takes part in a contradiction.
type ClaimKind uint8

// The kinds of statements, in the order in which a set would rather do without them.
const (
	FactClaim  ClaimKind = iota // what was recorded of a step: an index in the job's facts
	HeldClaim                   // an occupation: an index in the network's occupations
	AloneClaim                  // a step needs its places alone: an index in the network's steps
	RoomClaim                   // the room of a place: an index in the job's places
	GearClaim                   // how many pieces of gear there are: an index in the job's gear
	CrewsClaim                  // how many crews a trade can send: an index in the job's trades
	WaitClaim                   // a wait: an index in the network's waits
	MostClaim                   // the most time of a wait
	PinClaim                    // a pin: an index in the job's pins
)

// Claim is a statement of a job that takes part in a contradiction.
type Claim struct {
	Kind  ClaimKind
	Index int32
}

// part is some steps of a network with some of what is said of them.
type part struct {
	steps  []int32
	claims []Claim
}

// without is a part less the claims, or the steps with all that is said of them.
func (q *part) without(from, to int, steps bool) part {
	if !steps {
		return part{q.steps, slices.Concat(q.claims[:from], q.claims[to:])}
	}
	return part{slices.Concat(q.steps[:from], q.steps[to:]), q.claims}
}

// plenty is as much as anybody could need of a limit that is not to be one.
const plenty = 1 << 20

// network is the network in which only a part is said. Limits that are not claimed
// are plenty, due days do not count.
func (c *contradicting) network(q *part) *scheduler.Network {
	base := c.p.Graph.Net
	job := *base.Job
	job.Dues, job.Pins, job.Facts = nil, nil, nil
	job.Trades, job.Gear, job.Places = slices.Clone(job.Trades), slices.Clone(job.Gear), slices.Clone(job.Places)
	for k := range job.Trades {
		job.Trades[k].Crews = plenty
	}
	for k := range job.Gear {
		job.Gear[k].Count = plenty
	}
	for k := range job.Places {
		job.Places[k].Room = 0
	}
	steps := make([]scheduler.Step, len(q.steps))
	at := make(map[int32]int, len(q.steps))
	for k, i := range q.steps {
		steps[k], at[i] = base.Steps[i], k
		steps[k].Alone = false
	}
	var waits []scheduler.Wait
	var held []scheduler.Occupation
	waitAt := map[int32]int{}
	for _, claim := range q.claims {
		if !c.within(claim, at) {
			continue
		}
		k := claim.Index
		switch claim.Kind {
		case FactClaim:
			job.Facts = append(job.Facts, base.Job.Facts[k])
		case HeldClaim:
			held = append(held, c.occupation(k))
		case AloneClaim:
			steps[at[k]].Alone = true
		case RoomClaim:
			job.Places[k].Room = base.Job.Places[k].Room
		case GearClaim:
			job.Gear[k].Count = base.Job.Gear[k].Count
		case CrewsClaim:
			job.Trades[k].Crews = base.Job.Trades[k].Crews
		case WaitClaim:
			waitAt[k] = len(waits)
			waits = append(waits, base.Waits[k])
			waits[waitAt[k]].Most = nil
		case MostClaim:
			if w, ok := waitAt[k]; ok {
				waits[w].Most = base.Waits[k].Most
			}
		case PinClaim:
			job.Pins = append(job.Pins, base.Job.Pins[k])
		}
	}
	net := scheduler.NewNetwork(&job, steps, waits)
	net.Occupations = held
	return net
}

// within says whether all steps that a claim is about are among some.
func (c *contradicting) within(claim Claim, steps map[int32]int) bool {
	for _, i := range c.about(claim) {
		if _, ok := steps[i]; !ok {
			return false
		}
	}
	return true
}

// about is the steps that a claim cannot do without.
func (c *contradicting) about(claim Claim) []int32 {
	net := c.p.Graph.Net
	find := func(ids ...scheduler.ID) []int32 {
		var list []int32
		for _, id := range ids {
			if i, ok := net.Find(id); ok {
				list = append(list, int32(i))
			}
		}
		return list
	}
	switch claim.Kind {
	case FactClaim:
		return find(net.Job.Facts[claim.Index].Step)
	case HeldClaim:
		return find(net.Occupations[claim.Index].From, net.Occupations[claim.Index].To)
	case AloneClaim:
		return []int32{claim.Index}
	case WaitClaim, MostClaim:
		return find(net.Waits[claim.Index].From.Step, net.Waits[claim.Index].To.Step)
	case PinClaim:
		return find(net.Job.Pins[claim.Index].Step)
	}
	return nil
}

// occupation is an occupation with those admitted that have been let in anyway.
func (c *contradicting) occupation(k int32) scheduler.Occupation {
	o := c.p.Graph.Net.Occupations[k]
	for _, b := range c.p.Barred {
		if b.Occupation == k {
			o.Admits = append(o.Admits[:len(o.Admits):len(o.Admits)], c.p.Graph.Net.Steps[b.Step].ID)
		}
	}
	return o
}

// claims is all that is said of some steps and still counts.
func (c *contradicting) claims(steps []int32) []Claim {
	g := c.p.Graph
	in := make(map[int32]int, len(steps))
	ids := make(map[scheduler.ID]bool, len(steps))
	for k, i := range steps {
		in[i], ids[g.Net.Steps[i].ID] = k, true
	}
	var list []Claim
	add := func(kind ClaimKind, k int) {
		if claim := (Claim{kind, int32(k)}); c.within(claim, in) {
			list = append(list, claim)
		}
	}
	for k := range g.Net.Job.Facts {
		if ids[g.Net.Job.Facts[k].Step] {
			add(FactClaim, k)
		}
	}
	for k := range g.Net.Occupations {
		add(HeldClaim, k)
	}
	for _, i := range steps {
		if g.Net.Steps[i].Alone {
			add(AloneClaim, int(i))
		}
	}
	c.limitClaims(in, add)
	for _, k := range c.acting(in) {
		add(WaitClaim, int(k))
	}
	for _, k := range c.acting(in) {
		if g.Net.Waits[k].Most != nil && !c.gone[Claim{MostClaim, k}] {
			add(MostClaim, int(k))
		}
	}
	for k, pin := range g.Net.Job.Pins {
		if i, ok := g.Net.Find(pin.Step); ok && g.PinKept[k] && g.Progress[i] == network.Open {
			add(PinClaim, k)
		}
	}
	return list
}

// limitClaims is the limits of which some steps, or occupations from one of them to
// another, take.
func (c *contradicting) limitClaims(in map[int32]int, add func(ClaimKind, int)) {
	job := c.p.Graph.Net.Job
	used := map[key]bool{}
	for u := range c.p.Uses {
		use := &c.p.Uses[u]
		_, from := in[use.From]
		_, to := in[use.To]
		if l := &c.p.Limits[use.Limit]; from && to {
			used[key{l.Kind, l.ID}] = true
		}
	}
	for k := range job.Places {
		if used[key{Room, job.Places[k].ID}] {
			add(RoomClaim, k)
		}
	}
	for k := range job.Gear {
		if used[key{Gear, job.Gear[k].ID}] {
			add(GearClaim, k)
		}
	}
	for k := range job.Trades {
		if used[key{Crews, job.Trades[k].ID}] {
			add(CrewsClaim, k)
		}
	}
}

// acting is the waits between some steps that act, each once. One whose least time
// has been set aside does not act.
func (c *contradicting) acting(in map[int32]int) []int32 {
	var list []int32
	for k := range c.p.Graph.Arcs {
		a := &c.p.Graph.Arcs[k]
		if a.Wait < 0 || a.Most || a.Dropped {
			continue
		}
		_, from := in[a.From]
		_, to := in[a.To]
		if from && to {
			list = append(list, a.Wait)
		}
	}
	slices.Sort(list)
	return list
}
