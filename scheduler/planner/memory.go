package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// Memory is what a planning leaves for the next one of the same job: where each step
// was planned, and what was found out on the way. It does not change any more and
// may serve many plannings. The next plan depends on it, and on nothing else but the
// job and the effort. It holds on to little: what can be laid out anew soon, like
// years of calendars, is.
type Memory struct {
	steps  []scheduler.ID
	starts []worktime.Instant // by step: the planned start, of a begun one of its rest; Ever: nothing to keep to
	reach  int                // days that the calendars reached, or must reach; 0: not known
	bound  worktime.Instant   // before which the plan cannot finish
	left   *findings          // nil: all that is left is a plan

	// How far the plan stayed from what bounds it: the finish in minutes by the clock,
	// and the minutes past due days and the visits beyond the least.
	finishGap, lateGap int64
	visits, visitGap   int
}

// findings is what a planning has found out besides its dates.
type findings struct {
	outline         *levelling.Outline
	chain           []network.Arc // by which it hands crews, places and gear on
	bound           lowerBound
	last            worktime.Instant // the last planned finish
	late, leastLate int64            // minutes past due days, and the least there can be
	leastVisits     int
}

// Remember is the memory that a stored plan of a job leaves: where each step was
// planned. The job is the one that was planned.
func Remember(job *scheduler.Job, plan *scheduler.Plan) (*Memory, error) {
	net, err := expand.Expand(job)
	if err != nil {
		return nil, err
	}
	for k := range plan.Steps {
		if _, ok := net.Find(plan.Steps[k].ID); !ok {
			return nil, fmt.Errorf("the plan has a step %s, which the job has not", plan.Steps[k].ID)
		}
	}
	return remember(net, plan), nil
}

// Recall is the memory that a stored plan leaves where the job that was planned is no
// longer at hand. The plan names all of its steps and orders.
func Recall(plan *scheduler.Plan) *Memory {
	job := &scheduler.Job{ID: plan.Job}
	for k := range plan.Orders {
		o := scheduler.Order{ID: plan.Orders[k].ID}
		for _, step := range plan.Orders[k].Stages {
			if local, ok := strings.CutPrefix(string(step), string(o.ID)+"."); ok && step != o.DeliveryStep() {
				o.Stages = append(o.Stages, scheduler.Stage{ID: scheduler.ID(local)})
			}
		}
		job.Orders = append(job.Orders, o)
	}
	steps := make([]scheduler.Step, len(plan.Steps))
	for k := range steps {
		steps[k].ID = plan.Steps[k].ID
	}
	return remember(scheduler.NewNetwork(job, steps, nil), plan)
}

func idsOf(net *scheduler.Network) []scheduler.ID {
	ids := make([]scheduler.ID, len(net.Steps))
	for i := range ids {
		ids[i] = net.Steps[i].ID
	}
	return ids
}

// remember takes over where a plan has the steps of a network.
func remember(net *scheduler.Network, plan *scheduler.Plan) *Memory {
	m := &Memory{steps: idsOf(net), starts: make([]worktime.Instant, len(net.Steps)), reach: reachOf(plan), bound: worktime.FromTime(plan.Bound)}
	for i := range m.starts {
		m.starts[i] = worktime.Ever
	}
	held := make([]bool, len(net.Steps))
	for k := range plan.Steps {
		st := &plan.Steps[k]
		i, ok := net.Find(st.ID)
		if !ok {
			continue
		}
		held[i] = heldBack(st)
		switch {
		case st.State == scheduler.Complete || held[i]:
		case st.Resumes != nil:
			m.starts[i] = worktime.FromTime(*st.Resumes)
		default:
			m.starts[i] = worktime.FromTime(st.Start)
		}
	}
	m.freeHeld(net, func(i int) bool { return held[i] })
	m.finishGap = max(int64(plan.Finish.Sub(plan.Bound)/time.Minute), 0)
	for _, a := range plan.Aims {
		switch a.Kind {
		case scheduler.AimDueDays:
			m.lateGap = a.Reached - a.Least
		case scheduler.AimVisits:
			m.visits, m.visitGap = int(a.Reached), int(a.Reached-a.Least)
		}
	}
	return m
}

// Weight is about how many bytes a memory takes.
func (m *Memory) Weight() int {
	const inStep, inArc = 50, 32
	n := inStep * len(m.steps)
	if m.left != nil {
		n += m.left.outline.Bytes() + inArc*len(m.left.chain)
	}
	return n
}

// heldBack says whether a planned step was kept from coming long before its use.
func heldBack(st *scheduler.PlannedStep) bool {
	return slices.ContainsFunc(st.Drivers, func(d scheduler.Driver) bool { return d.Kind == scheduler.ByHeld })
}

// memory is what this solution leaves for the next.
func (s *solution) memory() *Memory {
	m := &Memory{steps: idsOf(s.net), starts: slices.Clone(s.planned.Start), reach: s.reach, bound: s.bound.at, left: &findings{
		outline: s.problem.Outline(), chain: s.chain, bound: lowerBound{at: s.bound.at, punctual: s.bound.punctual},
		last: s.last, late: s.lateness(), leastLate: s.leastLate, leastVisits: s.visits.least,
	}}
	for i := range m.starts {
		if s.h.Progress[i] == network.Done {
			m.starts[i] = worktime.Ever
		}
	}
	m.freeHeld(s.net, func(i int) bool { return s.held[i] })
	m.finishGap, m.lateGap = max(int64(s.last-s.bound.at), 0), max(m.left.late-s.leastLate, 0)
	m.visits, _ = levelling.CountVisits(s.problem, &s.planned)
	m.visitGap = m.visits - min(s.visits.least, m.visits)
	return m
}

// freeHeld lets deliveries go that were held back, with the legs before them: they
// are held back anew from where they are needed.
func (m *Memory) freeHeld(net *scheduler.Network, held func(int) bool) {
	for k := range net.Job.Orders {
		o := &net.Job.Orders[k]
		d, ok := net.Find(o.DeliveryStep())
		leg := d
		if n := len(o.Stages); n > 0 {
			leg, _ = net.Find(o.ID + "." + o.Stages[n-1].ID)
		}
		if ok && held(leg) {
			m.starts[leg], m.starts[d] = worktime.Ever, worktime.Ever
		}
	}
}

// match is, for each step of another network, its number in this memory, or -1.
func (m *Memory) match(net *scheduler.Network) (was []int32, same bool) {
	was, same = make([]int32, len(net.Steps)), len(net.Steps) == len(m.steps)
	var number map[scheduler.ID]int32 // made where the steps are in another order
	for i := range was {
		id := net.Steps[i].ID
		if i < len(m.steps) && m.steps[i] == id {
			was[i] = int32(i)
			continue
		}
		if same = false; number == nil {
			number = make(map[scheduler.ID]int32, len(m.steps))
			for k := range m.steps {
				number[m.steps[k]] = int32(k)
			}
		}
		was[i] = -1
		if k, ok := number[id]; ok {
			was[i] = k
		}
	}
	return was, same
}

// order is the arcs by which the plan before fixed the order of those who share a
// limit, between steps of another problem. What has been done or begun since waits
// for nobody.
func (m *Memory) order(p *levelling.Problem, was []int32) []network.Arc {
	if m.left == nil {
		return nil
	}
	now := make([]int32, len(m.steps))
	for i := range now {
		now[i] = -1
	}
	for i, k := range was {
		if k >= 0 {
			now[k] = int32(i)
		}
	}
	type name struct {
		kind levelling.Kind
		id   scheduler.ID
	}
	limits := map[name]int32{}
	for l := range p.Limits {
		limits[name{p.Limits[l].Kind, p.Limits[l].ID}] = int32(l)
	}
	var arcs []network.Arc
	for _, a := range m.left.chain {
		from, to := now[a.From], now[a.To]
		shared := m.left.outline.Limit(a.Limit)
		l, ok := limits[name{shared.Kind, shared.ID}]
		if from < 0 || to < 0 || !ok || p.Graph.Progress[from] == network.Done || !m.stillOpen(p.Graph, to, a.To) {
			continue
		}
		a.From, a.To, a.Limit = from, to, l
		arcs = append(arcs, a)
	}
	return arcs
}

// stillOpen says whether a step of a graph is as open as it was in this memory: not
// begun, or begun before.
func (m *Memory) stillOpen(g *network.Graph, now, was int32) bool {
	return g.Progress[now] == network.Open || g.Progress[now] == network.Begun && m.left != nil && m.left.outline.Progress(was) == network.Begun
}
