package odds

import (
	"math/rand/v2"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

func newTrier(net *scheduler.Network, plan *scheduler.Plan, days int) (*trier, error) {
	if len(plan.Contradictions) > 0 {
		return nil, ErrUnsettled
	}
	asOf := worktime.DateOf(plan.AsOf)
	g, err := network.Build(net, asOf, days)
	if err != nil {
		return nil, err
	}
	p := levelling.NewProblem(g)
	letGo(p.Graph)
	planned, ok := datesOf(net, g, plan)
	if !ok {
		return nil, ErrUnsettled
	}
	t := &trier{net: net, plan: plan, rng: rand.New(rand.NewPCG(seed, 0))}
	t.graph = p.Graph.WithArcs(levelling.Chain(p, &levelling.Schedule{Times: planned}))
	t.spreads()
	return t, nil
}

// letGo lets go of what would only hold a try back: most times, and pins to a day.
func letGo(g *network.Graph) {
	for k := range g.Arcs {
		if a := &g.Arcs[k]; a.Most {
			a.Dropped = true
		}
	}
	for i := range g.Upper {
		g.Upper[i] = worktime.Never
	}
}

// datesOf is the planned dates of the steps of a graph; of begun ones those of what is
// left. It is false where the plan has not all of them.
func datesOf(net *scheduler.Network, g *network.Graph, plan *scheduler.Plan) (network.Times, bool) {
	times := network.NewTimes(len(net.Steps))
	known := 0
	for k := range plan.Steps {
		s := &plan.Steps[k]
		i, ok := net.Find(s.ID)
		if !ok {
			continue
		}
		known++
		times.Start[i], times.Finish[i] = worktime.FromTime(s.Start), worktime.FromTime(s.Finish)
		if s.Resumes != nil {
			times.Start[i] = worktime.FromTime(*s.Resumes)
		}
	}
	return times, known == g.Steps()
}

// spreads lists the steps whose length is drawn.
func (t *trier) spreads() {
	job := t.net.Job
	for i := range t.net.Steps {
		s := &t.net.Steps[i]
		usual, rest := job.Minutes(s.Takes), t.graph.Rest[i]
		if s.Spread.None() || usual == 0 || rest == 0 || t.graph.Progress[i] == network.Done {
			continue
		}
		u := unsure{step: i, rest: float64(rest), usual: float64(usual), draw: pert{float64(usual), float64(usual), float64(usual)}}
		if best := job.Minutes(s.Spread.Best); best > 0 {
			u.draw.best = float64(best)
		}
		if worst := job.Minutes(s.Spread.Worst); worst > 0 {
			u.draw.worst = float64(worst)
		}
		if u.draw.best < u.draw.worst {
			t.unsure = append(t.unsure, u)
		}
	}
}
