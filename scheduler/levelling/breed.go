package levelling

import (
	"math/rand/v2"
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Breeder searches among orders of steps with two populations: schedules made
// forwards, and schedules made backwards from the end. The children of the one are
// the next generation of the other, so that every generation is justified anew
// (bi-population genetic algorithm: Debels and Vanhoucke, LNCS 3483, 2005). It keeps
// the best schedule it has made and can be gone on with.
type Breeder struct {
	Best Schedule
	Kept bool // every most time and pin is kept in Best
	Made int  // schedules so far, forward and backward ones together

	p        *Problem
	early    []worktime.Instant
	forward  *serial
	backward *mirror // made when it is first needed
	raises   int
	rng      *rand.Rand
	first    []int64 // the order of the latest starts
	left     []parent
	right    []parent
	size     int // of each population
	stale    int // generations since one brought something better
}

// parent is an order of steps with how good the schedule made in it is. The order is
// by finishes for one made forwards and by starts for one made backwards: the next
// generation goes the other way. End is the finish, for one made backwards the finish
// if it were moved on until no step starts before its earliest date.
type parent struct {
	order []int64
	kept  bool
	late  int64
	end   int64
}

// patience is for how many generations without anything better a population is kept.
const patience = 40

func (a *parent) before(b *parent) bool {
	if a.kept != b.kept {
		return a.kept
	}
	if a.late != b.late {
		return a.late < b.late
	}
	return a.end < b.end
}

// eagerSteps is up to how many steps founders are made eagerly, which takes a look at
// every step that could be next.
const eagerSteps = 300

// NewBreeder makes a first schedule, by latest start, and sets a search up for
// populations of a size. Raises are how often each schedule may be begun anew to keep
// most times.
func NewBreeder(p *Problem, early, late *network.Times, size, raises int) *Breeder {
	b := &Breeder{
		p: p, early: early.Start, forward: newSerial(p), raises: raises, size: max(size, 2),
		first: p.byLatestStart(late), rng: rand.New(rand.NewPCG(1963, uint64(p.Graph.Steps()))),
	}
	b.left = append(b.left, b.ahead(b.first))
	return b
}

// Run breeds until so many more schedules have been made, the best one misses no due
// day and finishes by the bound, or stop, when not nil, says so.
func (b *Breeder) Run(schedules int, bound worktime.Instant, stop func() bool) {
	until := b.Made + schedules
	over := func() bool {
		return b.Made >= until || b.Kept && b.Best.Late == 0 && b.Best.Last <= bound || stop != nil && stop()
	}
	if b.backward == nil && schedules > 0 {
		b.backward = newMirror(b.p)
	}
	for !over() {
		switch {
		case len(b.left) < b.size:
			b.found()
		case len(b.right) < b.size:
			b.right = append(b.right, b.back(b.cross(b.left, len(b.right))))
		case b.stale > patience:
			b.begin()
		default:
			b.generation(over)
		}
	}
}

// Offer brings a schedule found elsewhere into the population if it is the best.
func (b *Breeder) Offer(s Schedule) {
	if b.Kept && !s.before(&b.Best) {
		return
	}
	b.Best, b.Kept, b.stale = s, true, 0
	b.left[b.rng.IntN(len(b.left))] = parent{order: instants(s.Finish), kept: true, late: s.Late, end: int64(s.Last)}
}

// found adds a founder to the forward population: by latest start with noise of a half
// to a sixteenth of the length, every other one leaving no step waiting that could
// start. Founders too much alike would leave crossings nothing to find.
func (b *Breeder) found() {
	length := int64(b.Best.Last - b.p.Graph.AsOf)
	b.forward.eager = len(b.first) <= eagerSteps && b.rng.IntN(2) == 0
	b.left = append(b.left, b.ahead(b.vary(b.first, max(length>>(1+b.rng.IntN(4)), 1))))
	b.forward.eager = false
}

// begin starts again with new populations, twice as large.
func (b *Breeder) begin() {
	b.left, b.right, b.stale, b.size = b.left[:0], b.right[:0], 0, 2*b.size
}

// generation breeds one population from the other and that anew from it.
func (b *Breeder) generation(over func() bool) {
	b.stale++
	for k := 0; k < len(b.right) && !over(); k++ {
		replace(b.right, k, b.back(b.cross(b.left, k)))
	}
	for k := 0; k < len(b.left) && !over(); k++ {
		replace(b.left, k, b.ahead(b.cross(b.right, k)))
	}
}

// replace puts a child in the place of an older one that is not better, unless there is
// one like it: a population of twins has nothing to cross.
func replace(population []parent, k int, child parent) {
	if population[k].before(&child) {
		return
	}
	for j := range population {
		if population[j].end == child.end && slices.Equal(population[j].order, child.order) {
			return
		}
	}
	population[k] = child
}

// cross makes a child's order of two of a population: within a stretch of time as the
// k-th has it, before and after it in the order of another. Now and then, and when the
// two are the same, the one is shuffled instead.
func (b *Breeder) cross(population []parent, k int) []int64 {
	father, mother := &population[k], b.pick(population, k)
	least := slices.Min(father.order)
	length := max(slices.Max(father.order)-least, 4)
	if b.rng.IntN(10) == 0 || slices.Equal(father.order, mother.order) {
		return b.vary(father.order, max(length/20, 1))
	}
	span := length/4 + b.rng.Int64N(length/2)
	from := least + b.rng.Int64N(length-span+1)
	const apart = 1 << 50
	child := make([]int64, len(father.order))
	for i, at := range father.order {
		switch {
		case at < from:
			child[i] = mother.order[i] - apart
		case at <= from+span:
			child[i] = at
		default:
			child[i] = mother.order[i] + apart
		}
	}
	return child
}

// pick is the better of two drawn by lot, neither of them the k-th.
func (b *Breeder) pick(population []parent, k int) *parent {
	draw := func() *parent {
		j := b.rng.IntN(max(len(population)-1, 1))
		if j >= k && j+1 < len(population) {
			j++
		}
		return &population[j]
	}
	x, y := draw(), draw()
	if y.before(x) {
		return y
	}
	return x
}

// vary shuffles an order by up to reach either way.
func (b *Breeder) vary(order []int64, reach int64) []int64 {
	varied := make([]int64, len(order))
	for i, v := range order {
		varied[i] = v + b.rng.Int64N(2*reach+1) - reach
	}
	return varied
}

// ahead makes a schedule forwards in an order.
func (b *Breeder) ahead(order []int64) parent {
	b.Made++
	s, kept := b.forward.schedule(order, b.early, b.raises)
	if b.Made == 1 || kept && !b.Kept || kept == b.Kept && s.before(&b.Best) {
		b.Best, b.Kept, b.stale = s, kept, 0
	}
	return parent{instants(s.Finish), kept, s.Late, int64(s.Last)}
}

// back makes a schedule backwards in an order, from the best finish and the due days.
func (b *Breeder) back(order []int64) parent {
	b.Made++
	starts, kept := b.backward.from(&b.Best, order, b.raises)
	out := parent{order: starts, kept: kept, end: int64(worktime.Ever)}
	for i, s := range starts {
		out.end = max(out.end, int64(b.early[i])-s)
	}
	out.end += int64(b.Best.Last)
	return out
}

func instants(t []worktime.Instant) []int64 {
	list := make([]int64, len(t))
	for i, at := range t {
		list[i] = int64(at)
	}
	return list
}
