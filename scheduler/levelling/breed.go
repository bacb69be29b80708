package levelling

import (
	"math/rand/v2"
	"slices"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/proof"
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

	make     maker
	another  func() maker // one that a second breeder can use at the same time
	rng      *rand.Rand
	asOf     worktime.Instant
	first    []int64   // the order of the latest starts
	load     []float64 // by step: how much of the limits it takes, times its length
	child    []int64   // the order of the schedule to be made next
	left     []parent
	right    []parent
	founders int    // the size of each of the first populations
	size     int    // of each population
	begun    int64  // how often populations have begun after the first
	next     int    // child of the generation
	top      parent // as good as the best schedule of these populations
	stale    int    // generations since they brought something better
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
	mark  uint64 // of the order: twins have the same
}

// marked is a parent with its mark.
func (a parent) marked() parent {
	for _, at := range a.order {
		a.mark = (a.mark ^ uint64(at)) * 0x9e3779b97f4a7c15
		a.mark ^= a.mark >> 32
	}
	return a
}

const (
	patience = 40 // generations without anything better that a population is kept for
	grows    = 8  // times as large as the first population later ones are at least
	windows  = 10 // drawn for a crossing, of which the one with the most work is taken
)

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
	another := func() maker { return newMaker(p, early, raises) }
	b := &Breeder{
		make: another(), another: another, founders: max(size, 2), size: max(size, 2), asOf: p.Graph.AsOf,
		first: p.byLatestStart(late), rng: rand.New(rand.NewPCG(1963, uint64(p.Graph.Steps()))),
		load: p.load(), child: make([]int64, p.Graph.Steps()),
	}
	copy(b.child, b.first)
	b.left = append(b.left, b.ahead(false))
	return b
}

// Sister is a breeder of the same problem that draws other lots and begins with large
// populations. The two can run at the same time.
func (b *Breeder) Sister() *Breeder {
	s := &Breeder{
		Best: b.Best, Kept: b.Kept, make: b.another(), another: b.another, rng: rand.New(rand.NewPCG(1964, uint64(len(b.first)))),
		asOf: b.asOf, first: b.first, load: b.load, child: slices.Clone(b.first), founders: b.founders,
	}
	s.begin()
	s.left = append(s.left, s.ahead(false))
	return s
}

// load is by step how much of the limits it takes, each as a share of what there is,
// times its length.
func (p *Problem) load() []float64 {
	load := make([]float64, p.Graph.Steps())
	for u := range p.Uses {
		if use := &p.Uses[u]; use.From == use.To {
			load[use.From] += float64(p.Graph.Rest[use.From]) * float64(use.Amount) / float64(max(p.Limits[use.Limit].Size, 1))
		}
	}
	return load
}

// Run breeds until so many more schedules have been made, the best one misses no due
// day and finishes by the bound, or stop, when not nil, says so.
func (b *Breeder) Run(schedules int, bound worktime.Instant, stop func() bool) {
	until := b.Made + schedules
	over := func() bool {
		return b.Made >= until || b.Kept && b.Best.Late == 0 && b.Best.Last <= bound || stop != nil && stop()
	}
	for !over() {
		switch {
		case len(b.left) < b.size:
			b.found()
		case len(b.right) < b.size:
			b.cross(b.left, len(b.right))
			b.right = append(b.right, b.back())
		case b.stale > patience:
			b.begin()
		default:
			b.breed()
		}
	}
}

// Offer brings a schedule found elsewhere into the population if it is the best.
func (b *Breeder) Offer(s Schedule) {
	if b.Kept && !s.before(&b.Best) {
		return
	}
	b.Best, b.Kept, b.stale = s, true, 0
	b.top = parent{kept: true, late: s.Late, end: int64(s.Last)}
	b.left[b.rng.IntN(len(b.left))] = parent{order: instants(s.Finish), kept: true, late: s.Late, end: int64(s.Last)}.marked()
}

// found adds a founder to the forward population: by latest start with noise of a half
// to a sixteenth of the length, every other one leaving no step waiting that could
// start. Founders too much alike would leave crossings nothing to find.
func (b *Breeder) found() {
	length := int64(b.Best.Last - b.asOf)
	eager := len(b.first) <= eagerSteps && b.rng.IntN(2) == 0
	b.vary(b.first, max(length>>(1+b.rng.IntN(4)), 1))
	b.left = append(b.left, b.ahead(eager))
}

// begin starts again with new populations. A small one is soon done with the easy
// problems; the others need a large one, or several goes.
func (b *Breeder) begin() {
	for _, p := range [][]parent{b.left, b.right} {
		for k := range p {
			b.make.free(p[k].order)
		}
	}
	b.left, b.right, b.next, b.stale = b.left[:0], b.right[:0], 0, 0
	b.top = parent{end: int64(worktime.Never)}
	b.begun++
	b.size = b.founders * grows * int(proof.Luby(b.begun))
}

// breed makes the next child of a generation: first the one population is bred from
// the other, then that anew from it.
func (b *Breeder) breed() {
	k := b.next
	if b.next++; k < len(b.right) {
		b.cross(b.left, k)
		b.replace(b.right, k, b.back())
		return
	}
	k -= len(b.right)
	b.cross(b.right, k)
	b.replace(b.left, k, b.ahead(false))
	if k == len(b.left)-1 {
		b.next = 0
		b.stale++
	}
}

// replace puts a child in the place of an older one that is not better, unless there is
// one like it: a population of twins has nothing to cross.
func (b *Breeder) replace(population []parent, k int, child parent) {
	if population[k].before(&child) || twin(population, &child) {
		b.make.free(child.order)
		return
	}
	b.make.free(population[k].order)
	population[k] = child
}

func twin(population []parent, child *parent) bool {
	for j := range population {
		if population[j].mark == child.mark && slices.Equal(population[j].order, child.order) {
			return true
		}
	}
	return false
}

// cross makes a child's order of two of a population: within a stretch of time as the
// k-th has it, before and after it in the order of another. Now and then, and when the
// two are the same, the one is shuffled instead.
func (b *Breeder) cross(population []parent, k int) {
	father, mother := population[k].order, b.pick(population, k).order
	least := slices.Min(father)
	length := max(slices.Max(father)-least, 8)
	if b.rng.IntN(10) == 0 || slices.Equal(father, mother) {
		b.vary(father, max(length/20, 1))
		return
	}
	from, to := b.window(father, least, length)
	const apart = 1 << 50
	for i, at := range father {
		switch {
		case at < from:
			b.child[i] = mother[i] - apart
		case at <= to:
			b.child[i] = at
		default:
			b.child[i] = mother[i] + apart
		}
	}
}

// window is the stretch of time that a child has from its father: of some drawn by lot,
// an eighth to a half of the length each, the one in which the limits are used best
// (Valls, Ballestín and Quintanilla, EJOR 185, 2008).
func (b *Breeder) window(order []int64, least, length int64) (from, to int64) {
	most := -1.0
	for range windows {
		span := length/8 + b.rng.Int64N(length*3/8)
		at := least + b.rng.Int64N(length-span+1)
		load := 0.0
		for i, t := range order {
			if t >= at && t <= at+span {
				load += b.load[i]
			}
		}
		if load /= float64(span); load > most {
			most, from, to = load, at, at+span
		}
	}
	return from, to
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
func (b *Breeder) vary(order []int64, reach int64) {
	for i, v := range order {
		b.child[i] = v + b.rng.Int64N(2*reach+1) - reach
	}
}

// ahead makes the child's schedule forwards.
func (b *Breeder) ahead(eager bool) parent {
	b.Made++
	made := b.make.ahead(b.child, eager)
	best := parent{kept: b.Kept, late: b.Best.Late, end: int64(b.Best.Last)}
	if b.Made == 1 && b.begun == 0 || made.before(&best) {
		b.Best, b.Kept = b.make.schedule(), made.kept
	}
	if b.Made == 1 || made.before(&b.top) {
		b.top, b.stale = parent{kept: made.kept, late: made.late, end: made.end}, 0
	}
	return made.marked()
}

// back makes the child's schedule backwards.
func (b *Breeder) back() parent {
	b.Made++
	return b.make.back(b.child, &b.Best).marked()
}
