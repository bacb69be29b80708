package planner

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// holds is every hold point with the day by which it must be released.
func (s *solution) holds(steps []scheduler.PlannedStep) []scheduler.PlannedHold {
	var list []scheduler.PlannedHold
	relaxed := s.unhurried()
	for i := range s.net.Steps {
		st := &s.net.Steps[i]
		if st.Kind != scheduler.HoldStep {
			continue
		}
		need := s.neededBy(i, &relaxed)
		if s.h.Progress[i] == network.Done {
			need = s.planned.Finish[i]
		}
		h := scheduler.PlannedHold{
			ID: st.ID, Title: st.Title, Kind: st.HoldKind, Witness: st.Witness, By: st.By,
			State: steps[i].State, Places: st.Places,
			Planned: s.time(s.planned.Finish[i]), NeedBy: s.time(need), LatestBy: steps[i].PlanLatest,
			Margin: s.siteMinutes(s.planned.Finish[i], need), Holds: s.waitingFor(i),
		}
		if !st.Notice.Zero() {
			tell := s.time(s.before(s.planned.Start[i], st.Notice))
			h.TellBy = &tell
		}
		h.Booked = s.booked(st.ID)
		list = append(list, h)
	}
	return list
}

// neededBy is the greatest finish of step i that moves nobody or, where an order
// waits for it that can itself wait, the greatest with which that order still comes
// in time, but no later than the due days allow.
func (s *solution) neededBy(i int, relaxed *network.Times) worktime.Instant {
	free := s.h.LatestFinishFor(i, &s.planned, s.planEnd)
	for k := range s.g.Out(i) {
		if a := &s.g.Out(i)[k]; !a.Most && relaxed.Start[a.To] > s.planned.Start[a.To] {
			return max(free, min(s.h.LatestFinishFor(i, relaxed, s.planEnd), s.planLate.Finish[i]))
		}
	}
	return free
}

// waitingFor is the steps that wait for step i.
func (s *solution) waitingFor(i int) []scheduler.ID {
	var ids []scheduler.ID
	seen := map[int32]bool{}
	for k := range s.g.Out(i) {
		a := &s.g.Out(i)[k]
		if a.Most || a.Wait < 0 || seen[a.To] {
			continue
		}
		seen[a.To] = true
		ids = append(ids, s.net.Steps[a.To].ID)
	}
	return ids
}

func (s *solution) booked(id scheduler.ID) *time.Time {
	for k := range s.net.Job.Facts {
		f := &s.net.Job.Facts[k]
		if f.Step != id || f.Booked == nil {
			continue
		}
		at := f.Booked.Day.At(0, s.h.Zone)
		if f.Booked.Time != nil {
			at = f.Booked.Day.At(*f.Booked.Time, s.h.Zone)
		}
		t := s.time(at)
		return &t
	}
	return nil
}

// before is the greatest instant a span before t: working time on the site's
// calendar, or real time.
func (s *solution) before(t worktime.Instant, span worktime.Span) worktime.Instant {
	minutes := s.net.Job.Minutes(span)
	if span.Elapsed() {
		return t - worktime.Instant(minutes)
	}
	site := s.h.Calendars[network.Site]
	return min(t, site.Last(site.Work(t)-minutes))
}
