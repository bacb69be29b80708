package planner

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// joining is what became of the search for fewer visits.
type joining struct {
	least    int           // no plan as punctual and as short has fewer visits
	joined   []bool        // by step: it starts later than it could, so as not to make another visit
	unjoined network.Times // planned before that
}

// joinVisits looks for a plan as punctual and as short in which trades come to the site
// less often, and lets those steps start later that go with a later visit. Near a plan
// before, it does so only where there are clearly more visits than there were, and
// where they lie further from the fewest than they did.
func (s *solution) joinVisits(how fitting, effort levelling.Effort) error {
	visits, trades := levelling.CountVisits(s.problem, &s.planned)
	s.visits = joining{least: trades, joined: make([]bool, s.h.Steps())}
	if how == inPart || visits == trades || effort.VisitEnds == 0 {
		return nil
	}
	if how == asBefore && s.mended && visits <= s.was.visits+s.was.visits/mendingPart {
		s.visits.least = s.leastVisitsAsBefore(visits, trades)
		return nil
	}
	early, ok, err := s.problemDates()
	if !ok {
		return err
	}
	j := levelling.NewJoining(s.problem, s.problem.Schedule(s.planned), &early)
	s.visits.least = j.Least
	if how == asBefore {
		if j.Visits-j.Least <= s.was.visitGap {
			return nil
		}
		effort.VisitEnds /= 4 * mendingPart // a try costs much beside what else mending does
	}
	j.Run(effort.VisitEnds, effort.Stop)
	s.postponeDeliveries(j, effort.VisitEnds)
	if slices.Equal(j.Best.Start, s.planned.Start) {
		return nil
	}
	s.handOn(&j.Best, how, effort)
	return s.keepTogether(j)
}

// leastVisitsAsBefore is what is known of the fewest visits without looking for fewer:
// what was known of the plan before, where no schedule as punctual and as short has
// become possible since, and else that each trade comes once.
func (s *solution) leastVisitsAsBefore(visits, trades int) int {
	old := s.was.left
	if !s.noEasier || s.last > old.last || s.lateness() > old.late {
		return trades
	}
	return max(trades, min(visits, old.leastVisits))
}

// postponeDeliveries lets trades unload goods that would lie on site for too long on a
// later visit, where that makes no more visits.
func (s *solution) postponeDeliveries(j *levelling.Joining, effort int64) {
	for k := range s.net.Job.Orders {
		o := &s.net.Job.Orders[k]
		_, d, movable := s.lastLeg(o)
		use, ok := s.net.Find(s.firstUse(d))
		if !movable || !ok || len(s.net.Steps[d].Trades) == 0 || s.h.Progress[use] != network.Open {
			continue
		}
		if s.tooLong(o, &j.Best.Times, j.Best.Finish[d], use) > 0 {
			c := s.keepCalendar(o)
			effort = j.Postpone(int32(d), c.Last(c.Work(j.Best.Start[use])-s.net.Job.Minutes(o.MaySit())), effort)
		}
	}
}

// keepTogether dates the plan with visits joined: each step starts no earlier than
// those of its visit let it.
func (s *solution) keepTogether(j *levelling.Joining) error {
	least := make([]worktime.Instant, s.h.Steps())
	for i := range least {
		least[i] = worktime.Ever
		if s.least != nil {
			least[i] = min(s.least[i], j.Best.Start[i])
		}
	}
	linked := s.h.WithArcs(j.Links)
	together, conflicts, err := linked.EarliestFrom(least)
	if err != nil {
		return err
	}
	if err = s.datePlan(nil); err != nil {
		return err
	}
	s.unkept = s.planned
	if err = s.datePlan(least); err != nil || len(conflicts) > 0 {
		return err
	}
	s.visits.unjoined = s.planned
	for k := range j.Links {
		i := j.Links[k].To
		if start, _ := linked.LeastStart(&j.Links[k], &together); s.h.Progress[i] != network.Done && start > s.visits.unjoined.Start[i] {
			least[i], s.visits.joined[i] = max(least[i], start), true
		}
	}
	s.least = least
	return s.datePlan(least)
}

// waitsForVisit says whether step i is where it is because its trade comes then.
func (s *solution) waitsForVisit(i int) bool {
	return s.visits.joined[i] && s.planned.Start[i] > s.visits.unjoined.Start[i] && s.planned.Start[i] == s.h.StartFrom(i, s.least[i])
}

// visitDriver is that step i waits until its trade comes, where it does.
func (s *solution) visitDriver(i int) []scheduler.Driver {
	if !s.waitsForVisit(i) {
		return nil
	}
	return []scheduler.Driver{{
		Kind: scheduler.ByVisit,
		Text: fmt.Sprintf("it could start on %s, but %s would have to come once more for it", s.day(s.visits.unjoined.Start[i]), s.visiting(i)),
	}}
}

// visiting is who comes for step i, in words.
func (s *solution) visiting(i int) string {
	text := ""
	trades := s.net.Steps[i].Trades
	for k, t := range trades {
		switch {
		case k > 0 && k == len(trades)-1:
			text += " and "
		case k > 0:
			text += ", "
		}
		text += s.tradeTitle(t)
	}
	return text
}
