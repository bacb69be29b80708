package planner

import (
	"math"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// plan puts the solution into the words of a plan.
func (s *solution) plan() *scheduler.Plan {
	job := s.net.Job
	p := &scheduler.Plan{
		Job: job.ID, Title: job.Title, Zone: job.Zone, Engine: Engine,
		AsOf: s.time(s.g.AsOf), DayMinutes: job.DayMinutes(),
		Finish: s.time(s.last), EarliestFinish: s.time(s.finish),
		Bound: s.time(s.bound.at), BoundReason: s.bound.why, Proven: s.proven(),
		NearCritical: NearCriticalDays * job.DayMinutes(),
	}
	s.tell()
	p.Steps = s.steps(p.NearCritical)
	p.Waits = s.waits()
	p.Holds = s.holds(p.Steps)
	p.Orders = s.orders(p.Steps)
	p.Windows = s.windows()
	p.Dues = s.dues()
	p.Aims = s.aims()
	p.Covers = s.covers()
	p.Driving = s.driving()
	p.Contradictions = s.contradictions()
	return p
}

func (s *solution) steps(near int64) []scheduler.PlannedStep {
	steps := make([]scheduler.PlannedStep, len(s.net.Steps))
	floats := make([]network.Floats, len(steps))
	least := int64(math.MaxInt64)
	for i := range steps {
		floats[i] = s.g.FloatsOf(i, &s.early, &s.late, s.finishBy, s.finish)
		if s.early.Finish[i] == s.finish && s.g.Progress[i] != network.Done {
			least = min(least, floats[i].Total)
		}
	}
	if least < 0 || least == math.MaxInt64 {
		least = 0
	}
	for i := range steps {
		steps[i] = s.step(i, floats[i])
		if open := s.g.Progress[i] != network.Done; open {
			steps[i].Critical = floats[i].Total <= least
			steps[i].NearCritical = !steps[i].Critical && floats[i].Total <= least+near
		}
	}
	return steps
}

func (s *solution) step(i int, f network.Floats) scheduler.PlannedStep {
	st := &s.net.Steps[i]
	c := s.h.Calendars[s.h.Cal[i]]
	free := s.h.LatestFinishFor(i, &s.planned, s.planEnd)
	p := scheduler.PlannedStep{
		ID: st.ID, Kind: st.Kind, Title: st.Title, Trades: st.Trades, Places: st.Places,
		Typical: st.Typical, Order: st.Order, Cautions: st.Cautions,
		EarliestStart: s.time(s.early.Start[i]), EarliestFinish: s.time(s.early.Finish[i]),
		LatestStart: s.time(s.late.Start[i]), LatestFinish: s.time(s.late.Finish[i]),
		Start: s.time(s.planned.Start[i]), Finish: s.time(s.planned.Finish[i]),
		PlanLatest: s.time(s.planLate.Finish[i]), PlanFree: s.time(free),
		Work: s.h.Work[i], Rest: s.h.Rest[i], Elapsed: s.h.Cal[i] == network.RealTime,
		StartFloat: f.Start, FinishFloat: f.Finish, TotalFloat: f.Total, FreeFloat: f.Free,
		Slack:     c.Work(s.planLate.Finish[i]) - c.Work(s.planned.Finish[i]),
		FreeSlack: c.Work(free) - c.Work(s.planned.Finish[i]),
		Drivers:   s.drivers(i), Needs: s.needs(i), OutOfOrder: s.outOfOrder(i),
	}
	switch s.h.Progress[i] {
	case network.Begun:
		resumes := p.Start
		p.Resumes = &resumes
		p.Start = s.time(s.h.Began[i])
	case network.Done:
		p.Rest, p.Slack, p.FreeSlack = 0, 0, 0
		p.PlanLatest, p.PlanFree = p.Finish, p.Finish
	}
	p.State = s.state(i, p.Needs)
	return p
}

func (s *solution) state(i int, needs []scheduler.Need) scheduler.State {
	switch s.g.Progress[i] {
	case network.Done:
		return scheduler.Complete
	case network.Begun:
		return scheduler.Underway
	}
	if s.telling.refused[s.net.Steps[i].ID] {
		return scheduler.Refused
	}
	for _, n := range needs {
		if !n.Met {
			return scheduler.Waiting
		}
	}
	return scheduler.Ready
}

// needs is what step i waits for before it starts. It is met once the wait is over
// as of; a waived wait is no need.
func (s *solution) needs(i int) []scheduler.Need {
	count := 0
	for _, k := range s.g.In(i) {
		if s.isNeed(&s.g.Arcs[k]) {
			count++
		}
	}
	if count == 0 {
		return nil
	}
	needs := make([]scheduler.Need, 0, count)
	for _, k := range s.g.In(i) {
		if a := &s.g.Arcs[k]; s.isNeed(a) {
			needs = append(needs, scheduler.Need{
				Step: s.net.Steps[a.From].ID, Text: s.needText(&s.net.Waits[a.Wait], a.From), Met: s.met(a),
			})
		}
	}
	return needs
}

func (s *solution) isNeed(a *network.Arc) bool {
	return !a.Most && a.Wait >= 0 && !a.Dropped && a.ToEnd == scheduler.Start
}

// met says whether an arc's from end is a fact and its least time is over as of.
func (s *solution) met(a *network.Arc) bool {
	if !s.g.Fixed(a.From, a.FromEnd) {
		return false
	}
	_, raw := s.g.LeastStart(a, &s.early)
	return raw <= max(s.g.AsOf, s.early.Start[a.To])
}

func (s *solution) needText(w *scheduler.Wait, from int32) string {
	verb := " is done"
	if s.net.Steps[from].Kind == scheduler.HoldStep {
		verb = " is released"
		if s.net.Steps[from].Order != "" {
			verb = ""
		}
	}
	if w.From.End == scheduler.Start {
		verb = " has started"
	}
	if !w.Least.Zero() {
		return "“" + s.name(from) + "”" + verb + ", and " + s.spanText(w.Least) + " have passed"
	}
	return "“" + s.name(from) + "”" + verb
}

// outOfOrder says whether recorded work began, or ended, before a wait let it.
func (s *solution) outOfOrder(i int) bool {
	for _, k := range s.g.In(i) {
		a := &s.g.Arcs[k]
		if a.Most || a.Wait < 0 || !s.g.Fixed(a.To, a.ToEnd) {
			continue
		}
		is := s.g.Ended[i]
		if a.ToEnd == scheduler.Start {
			is = s.g.Began[i]
		}
		if s.g.LeastEnd(a, &s.early) > is {
			return true
		}
	}
	return false
}

// waits is every wait with the planned time of its from end.
func (s *solution) waits() []scheduler.PlannedWait {
	dropped := map[int32]bool{}
	for k := range s.conflicts {
		if s.conflicts[k].Dropped >= 0 {
			dropped[s.conflicts[k].Dropped] = true
		}
	}
	tight := make([]bool, len(s.net.Waits))
	for _, k := range s.telling.arcs {
		if w := s.h.Arcs[k].Wait; w >= 0 {
			tight[w] = true
		}
	}
	list := make([]scheduler.PlannedWait, len(s.net.Waits))
	for k := range s.net.Waits {
		w, ends := &s.net.Waits[k], s.net.Ends[k]
		list[k] = scheduler.PlannedWait{
			From: s.pointText(ends.From, w.From.End), To: s.pointText(ends.To, w.To.End), FromID: w.From.Step, ToID: w.To.Step,
			FromEnd: w.From.End.String(), ToEnd: w.To.End.String(),
			Least: s.spanText(w.Least), Reason: w.Reason, Note: w.Note, Source: w.Source, Origin: w.Origin,
			Opens: s.time(s.endOf(ends.From, w.From.End)), Waived: s.waiver(k),
			Dropped: dropped[int32(k)], Tight: tight[k],
		}
		if w.Most != nil {
			list[k].Most = w.Most.String()
		}
	}
	return list
}

func (s *solution) siteMinutes(from, to worktime.Instant) int64 {
	c := s.h.Calendars[network.Site]
	return c.Work(to) - c.Work(from)
}
