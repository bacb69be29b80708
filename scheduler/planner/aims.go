package planner

import (
	"fmt"

	"gaugerod/scheduler"
)

// aims says of each thing that the plan is made for how near it comes, in their order.
func (s *solution) aims() []scheduler.Aim {
	return []scheduler.Aim{s.aimDueDays(), s.aimFinish(), s.aimVisits(), s.aimDeliveries()}
}

// ruledOut is what a bound rests on that the search has proven.
const ruledOut = "every other order of those who share crews, places and gear has been ruled out"

// lateness is the minutes by the clock by which the planned dates miss due days.
func (s *solution) lateness() int64 { return s.problem.Schedule(s.planned).Late }

func (s *solution) aimDueDays() scheduler.Aim {
	late := s.lateness()
	least := min(s.leastLate, late)
	a := scheduler.Aim{Kind: scheduler.AimDueDays, Reached: late, Least: least, Proven: late == least}
	why := "the waits alone leave no other way"
	if least > s.lateByWaits {
		why = ruledOut
	}
	switch missed := fmt.Sprintf("Due days are missed by %s in all, by the clock", clockTime(late)); {
	case len(s.net.Job.Dues) == 0:
		a.Text = "The job has no due days."
	case late == 0:
		a.Text = "No due day is missed."
	case a.Proven:
		a.Text = missed + ", the least possible, proven: " + why + "."
	case least == 0:
		a.Text = missed + ". That is not proven the least possible: a plan that misses none is not ruled out."
	default:
		a.Text = missed + fmt.Sprintf(". That is not proven the least possible: no plan misses them by less than %s, because %s.", clockTime(least), why)
	}
	return a
}

func (s *solution) aimFinish() scheduler.Aim {
	from := s.g.AsOf
	a := scheduler.Aim{Kind: scheduler.AimFinish, Reached: s.siteMinutes(from, s.last), Least: s.siteMinutes(from, min(s.bound.at, s.last)), Proven: s.proven()}
	among, that := "", ""
	switch {
	case !s.bound.punctual || len(s.net.Job.Dues) == 0:
	case s.lateness() == 0:
		among, that = " with all due days kept", " that keeps all due days"
	default:
		among, that = " with due days missed no more", " that misses due days no more"
	}
	switch {
	case a.Proven:
		a.Text = fmt.Sprintf("The finish is the earliest possible%s, proven: %s.", among, s.bound.why)
	case s.last <= s.bound.at:
		a.Text = fmt.Sprintf("No plan that misses due days as little finishes earlier: %s. One that misses them less could finish at another time.", s.bound.why)
	default:
		a.Text = fmt.Sprintf("The finish is within %s of the least possible: no plan%s finishes before %s: %s.",
			s.atMost(s.siteMinutes(s.bound.at, s.last)), that, s.day(s.bound.at), s.bound.why)
	}
	return a
}

// proven says whether the plan is the shortest of those that miss due days by the
// least there is.
func (s *solution) proven() bool { return s.last <= s.bound.at && s.lateness() <= s.leastLate }
