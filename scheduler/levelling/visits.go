package levelling

import (
	"cmp"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// VisitGap is how many of the site's working days a trade may be away before its
// return is another visit. Common practice, no source.
const VisitGap = 1

// visitors is who comes to the site: the steps of each trade that are not done and
// take time. Making goods elsewhere is no visit.
type visitors struct {
	p     *Problem
	site  *worktime.Calendar
	gap   int64 // working minutes
	steps [][]int32
}

func newVisitors(p *Problem) *visitors {
	g := p.Graph
	v := &visitors{p: p, site: g.Calendars[network.Site]}
	if g.Net == nil {
		return v
	}
	v.gap = VisitGap * g.Net.Job.DayMinutes()
	at := map[scheduler.ID]int{}
	for i := range g.Net.Steps {
		st := &g.Net.Steps[i]
		if g.Progress[i] == network.Done || g.Rest[i] == 0 || st.Kind == scheduler.StageStep {
			continue
		}
		for _, t := range st.Trades {
			k, ok := at[t]
			if !ok {
				k = len(v.steps)
				at[t] = k
				v.steps = append(v.steps, nil)
			}
			v.steps[k] = append(v.steps[k], int32(i))
		}
	}
	return v
}

// CountVisits is how many visits trades make to the site with these dates, and how
// many trades come at all.
func CountVisits(p *Problem, t *network.Times) (visits, trades int) {
	v := newVisitors(p)
	return v.count(t), len(v.steps)
}

func (v *visitors) count(t *network.Times) int {
	n := 0
	for _, steps := range v.steps {
		n += len(v.runs(steps, t))
	}
	return n
}

// runs parts the steps of a trade into its visits, each in order of start.
func (v *visitors) runs(steps []int32, t *network.Times) [][]int32 {
	order := slices.Clone(steps)
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(t.Start[a], t.Start[b]), cmp.Compare(t.Finish[a], t.Finish[b]), cmp.Compare(a, b))
	})
	var runs [][]int32
	until := worktime.Ever
	for k, i := range order {
		if k == 0 || v.away(until, t.Start[i]) > v.gap {
			runs = append(runs, nil)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], i)
		until = max(until, t.Finish[i])
	}
	return runs
}

// away is the site's working minutes between two instants.
func (v *visitors) away(from, to worktime.Instant) int64 { return v.site.Work(to) - v.site.Work(from) }

// lastOut is the step of a visit that finishes last.
func lastOut(run []int32, t *network.Times) int32 {
	last := run[0]
	for _, i := range run {
		if t.Finish[i] > t.Finish[last] {
			last = i
		}
	}
	return last
}

// links are arcs that keep the visits of a schedule from falling apart: each step but
// the first starts after the start of the one that has been out last until then, and
// no more than the gap after its finish.
func (v *visitors) links(t *network.Times) []network.Arc { return v.linksBut(t, -1) }

// linksBut is links that leave one step out.
func (v *visitors) linksBut(t *network.Times, but int32) []network.Arc {
	var arcs []network.Arc
	for _, steps := range v.steps {
		for _, run := range v.runs(steps, t) {
			if run = slices.DeleteFunc(run, func(i int32) bool { return i == but }); len(run) == 0 {
				continue
			}
			last := run[0]
			for _, i := range run[1:] {
				arcs = v.link(arcs, last, i)
				if t.Finish[i] > t.Finish[last] {
					last = i
				}
			}
		}
	}
	return arcs
}

// link ties a step to another's visit.
func (v *visitors) link(arcs []network.Arc, first, then int32) []network.Arc {
	return append(arcs, network.Arc{
		From: first, To: then, FromEnd: scheduler.Start, ToEnd: scheduler.Start, Cal: network.RealTime, Wait: -1, Limit: -1,
	}, network.Arc{
		From: then, To: first, FromEnd: scheduler.Start, ToEnd: scheduler.Finish, Most: true, Cal: network.Site, Wait: -1, Limit: -1, Lag: -v.gap,
	})
}
