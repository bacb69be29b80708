package solve

import (
	"sync"

	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// The work of a round, much the same for both hands.
const (
	proveEnds  = 1500   // dead ends of the search for shorter schedules
	breeds     = 1000   // schedules
	plainly    = 8      // times as many where they are soon made
	breedsToo  = 15_000 // schedules of the first hand, when it breeds
	reviseEnds = 300    // dead ends of planning parts anew
	raiseEnds  = 300    // dead ends of raising the bound
	alongEnds  = 900    // dead ends of searching downwards along with the other hand
)

// After so many rounds without a shorter schedule the hands do the same in some rounds.
// While the bound is nearer than a share of the finish both prove, in all but every so
// many rounds; else both breed in every other one, where schedules are soon made.
const (
	idleRounds = 6
	lookAgain  = 4
	near       = 10
)

// hands are the two that work on an instance at the same time, each on a core of its
// own. One searches downwards from the best schedule until nothing shorter is left.
// The other breeds schedules, plans parts of the best one anew and rules finishes out
// upwards from the bound. After each round each is told what the other has found, so
// that what they come to depends on the number of rounds and not on who is faster.
type hands struct {
	down  *levelling.Prover
	up    *levelling.Prover
	breed *levelling.Breeder
	other *levelling.Breeder // of the first hand; nil until it breeds
	path  worktime.Instant
	start worktime.Instant

	bounds []worktime.Instant
	rounds int
	idle   int // rounds since a shorter schedule was found
}

// run works in rounds until the instance is settled or stop says so. Stop is asked by
// both hands.
func (h *hands) run(stop func() bool) {
	for !h.settled() && !stop() {
		h.round(stop)
	}
}

func (h *hands) round(stop func() bool) {
	h.rounds++
	best, prove, breed := h.down.Best.Last, false, false
	if h.idle >= idleRounds {
		prove = h.close() && h.rounds%lookAgain != 0
		breed = !h.close() && h.breed.Plain() && h.rounds%2 == 0
	}
	var both sync.WaitGroup
	both.Go(func() {
		if breed {
			h.breedToo(stop)
		} else {
			h.down.Run(proveEnds, stop)
		}
	})
	if prove {
		h.up.Run(alongEnds, stop)
		h.up.Raise(raiseEnds, stop)
	} else {
		h.find(stop)
	}
	both.Wait()
	h.exchange()
	if h.idle++; h.down.Best.Last < best {
		h.idle = 0
	}
}

// breedToo is the round of the first hand while a proof is far.
func (h *hands) breedToo(stop func() bool) {
	if h.other == nil {
		h.other = h.breed.Sister()
	}
	h.other.Offer(h.down.Best)
	h.other.Run(breedsToo, h.path, stop)
	if h.other.Kept {
		h.down.Offer(h.other.Best)
	}
}

// close says whether a proof is likely to be near.
func (h *hands) close() bool {
	return h.down.Found && h.down.Best.Last-h.down.Bound <= (h.down.Best.Last-h.start)/near
}

// find is the round of the hand that looks for schedules and for bounds.
func (h *hands) find(stop func() bool) {
	schedules := breeds
	if h.breed.Plain() {
		schedules *= plainly
	}
	h.breed.Run(schedules, h.path, stop)
	if h.breed.Kept {
		h.up.Offer(h.breed.Best)
	}
	h.up.Revise(reviseEnds, stop)
	h.up.Raise(raiseEnds, stop)
}

// exchange tells each hand what the other has found.
func (h *hands) exchange() {
	if h.up.Found {
		h.down.Offer(h.up.Best)
	}
	if h.down.Found {
		h.up.Offer(h.down.Best)
		h.breed.Offer(h.down.Best)
	}
	if h.up.None || h.down.None {
		return
	}
	h.down.Lower(h.up.Bound)
	h.up.Lower(h.down.Bound)
}

func (h *hands) settled() bool {
	return h.down.Shortest || h.down.None || h.up.Shortest || h.up.None
}

// result is the hand that has settled the instance, or the one that searched downwards.
func (h *hands) result() *levelling.Prover {
	h.down.DeadEnds += h.up.DeadEnds
	if h.up.Shortest || h.up.None {
		h.up.DeadEnds = h.down.DeadEnds
		return h.up
	}
	return h.down
}

func never() bool { return false }

// begin makes the first schedules and searches from the best of them.
func begin(p *levelling.Problem, early, late *network.Times, end worktime.Instant, stop func() bool) *hands {
	h := &hands{start: p.Graph.AsOf, path: network.LastFinish(early), bounds: make([]worktime.Instant, p.Graph.Steps())}
	for i := range h.bounds {
		h.bounds[i] = worktime.Never
	}
	h.breed = levelling.NewBreeder(p, early, late, founders, raises)
	h.breed.Run(fewSchedules, h.path, stop)
	best := h.breed.Best
	if !h.breed.Kept {
		best.Last = end
	}
	h.down = levelling.NewProver(p, best, h.breed.Kept, early, h.bounds)
	h.down.Run(shortSearch, stop)
	return h
}

// prove closes most instances with a few schedules and a short search; what stays
// open is worked on by two hands.
func prove(p *levelling.Problem, early, late *network.Times, end worktime.Instant, stop func() bool) *levelling.Prover {
	if stop == nil {
		stop = never
	}
	h := begin(p, early, late, end, stop)
	if h.down.Shortest || h.down.None || stop() {
		return h.down
	}
	h.up = levelling.NewProver(p, h.down.Best, h.down.Found, early, h.bounds)
	h.up.Aloof()
	h.run(stop)
	return h.result()
}
