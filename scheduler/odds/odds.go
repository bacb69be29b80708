// Package odds says how likely the days of a plan are. It tries the plan many times, each
// time with other lengths of the work whose best and worst people have written down, and
// counts how it ends.
//
// In every try the order of work stays as the plan has it: all waits, and who has a crew, a
// place or a piece of gear after whom. Where work is done sooner, what follows it comes
// sooner; where it takes longer, later. Lengths are drawn from the beta distribution that
// the three points of a PERT estimate stand for (Malcolm, Roseboom, Clark and Fazar,
// "Application of a technique for research and development program evaluation",
// Operations Research 7, 1959), each on its own. That work which goes badly for one common
// reason goes badly together is not in it, nor is the weather, nor what nobody has thought
// of: the truth is wider.
//
// Longest times between steps (exposure) and pins to a day do not hold a try back: what
// they forbid is told by the plan of the day.
package odds

import (
	"errors"
	"math/rand/v2"
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// ErrUnsettled means that the plan sets statements aside or claims something twice, so
// that there is no order of work to be tried.
var ErrUnsettled = errors.New("the plan has contradictions, so its order of work cannot be tried")

// Odds is how the tries of a plan ended.
type Odds struct {
	Tries  int                    `json:"tries"`
	Unsure int                    `json:"unsure"` // steps not done whose best or worst differs from what they take
	Finish []time.Time            `json:"finish"` // of each try, the soonest first
	Dues   []Due                  `json:"dues"`
	Starts map[scheduler.ID]Start `json:"starts"` // of steps that have not begun
	Sways  []Sway                 `json:"sways"`  // what the finish goes by, the most first
}

// Due is in how many of the tries a due day held.
type Due struct {
	ID    scheduler.ID `json:"id"`
	Title string       `json:"title"`
	Step  scheduler.ID `json:"step"`
	By    time.Time    `json:"by"`
	Kept  int          `json:"kept"`
}

// Start is when a step started: in half of the tries by Half, in nine of ten by Nine.
type Start struct {
	Half time.Time `json:"half"`
	Nine time.Time `json:"nine_in_ten"`
}

// Sway is how much of the finish's coming and going goes by one step: the share of its
// variance that a straight line in the step's length explains, from 0 to 1.
type Sway struct {
	Step  scheduler.ID `json:"step"`
	Share float64      `json:"share"`
}

// FinishBy is the time by which the work was done in at least the given part of the tries.
func (o *Odds) FinishBy(part float64) time.Time { return o.Finish[rank(part, o.Tries)] }

// Done is in how many of the tries all was done by a time.
func (o *Odds) Done(by time.Time) int {
	return len(o.Finish) - len(afterwards(o.Finish, by))
}

func afterwards(sorted []time.Time, by time.Time) []time.Time {
	at, _ := slices.BinarySearchFunc(sorted, by.Add(time.Nanosecond), time.Time.Compare)
	return sorted[at:]
}

// rank is the place, among n values in order, of the least that a part of them do not
// exceed.
func rank(part float64, n int) int {
	k := int(part * float64(n))
	if float64(k) < part*float64(n) {
		k++
	}
	return min(max(k-1, 0), n-1)
}

// How many tries are made: so that a job of any size takes about as long, and the ninth
// tenth is known to some two parts of a hundred where the job is a house.
const (
	mostTries  = 1000
	leastTries = 100
	mostDates  = 2_000_000 // tries times steps
)

// seed is the same for all, so that the same plan has the same odds.
const seed = 1959

// Of tries a plan that was made of a network. Errors: ErrUnsettled; those of
// network.Build; network.ErrBeyond.
func Of(net *scheduler.Network, plan *scheduler.Plan) (*Odds, error) {
	tries := min(max(mostDates/max(len(net.Steps), 1), leastTries), mostTries)
	days := reach(plan)
	for range 3 {
		t, err := newTrier(net, plan, days)
		if err != nil {
			return nil, err
		}
		o, err := t.run(tries)
		if !errors.Is(err, network.ErrBeyond) {
			return o, err
		}
		days *= 4
	}
	return nil, network.ErrBeyond
}

// reach is so many days as calendars are laid out for at first.
func reach(plan *scheduler.Plan) int {
	return 366 + 3*int(plan.Finish.Sub(plan.AsOf)/(24*time.Hour))
}

// trier dates the order of work of a plan again and again.
type trier struct {
	net    *scheduler.Network
	plan   *scheduler.Plan
	graph  *network.Graph
	unsure []unsure
	rng    *rand.Rand
}

// unsure is a step whose length is drawn.
type unsure struct {
	step  int
	rest  float64 // minutes left in the plan
	usual float64 // minutes of the whole
	draw  pert
}

func (t *trier) run(tries int) (*Odds, error) {
	if len(t.unsure) == 0 {
		tries = 1 // they would all be the same
	}
	r := newRecord(t, tries)
	for k := range tries {
		for n := range t.unsure {
			u := &t.unsure[n]
			length := u.draw.one(t.rng)
			t.graph.Rest[u.step] = max(int64(u.rest*length/u.usual+0.5), 1)
			r.lengths[n][k] = length
		}
		dates, ok := t.graph.Dates(nil)
		if !ok {
			return nil, network.ErrBeyond
		}
		r.add(k, &dates)
	}
	return r.odds(), nil
}

func (t *trier) time(at worktime.Instant) time.Time { return at.Time(t.graph.Zone) }
