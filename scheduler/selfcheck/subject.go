package selfcheck

import (
	"fmt"
	"strconv"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// subject is the schedule under check, indexed.
type subject struct {
	net       *scheduler.Network
	job       *scheduler.Job
	plan      *scheduler.Plan
	day       int64 // working minutes in "1 day", at least 1
	today     worktime.Date
	planned   []*scheduler.PlannedStep // by step of the network; nil: not in the plan
	into, out [][]int                  // waits by step of the network
	open      []int                    // steps neither done nor released
}

func newSubject(net *scheduler.Network, plan *scheduler.Plan) *subject {
	s := &subject{
		net: net, job: net.Job, plan: plan, day: max(net.Job.DayMinutes(), 1),
		today:   worktime.FromTime(plan.AsOf).Date(plan.AsOf.Location()),
		planned: make([]*scheduler.PlannedStep, len(net.Steps)),
		into:    make([][]int, len(net.Steps)), out: make([][]int, len(net.Steps)),
	}
	for k := range plan.Steps {
		if i, ok := net.Find(plan.Steps[k].ID); ok {
			s.planned[i] = &plan.Steps[k]
		}
	}
	for k, p := range s.planned {
		if p != nil && p.State != scheduler.Complete {
			s.open = append(s.open, k)
		}
	}
	for k := range net.Waits {
		if i, ok := net.Find(net.Waits[k].From.Step); ok {
			s.out[i] = append(s.out[i], k)
		}
		if i, ok := net.Find(net.Waits[k].To.Step); ok {
			s.into[i] = append(s.into[i], k)
		}
	}
	return s
}

func (s *subject) item(step int, format string, args ...any) Item {
	n := &s.net.Steps[step]
	return Item{Steps: []scheduler.ID{n.ID}, Text: "“" + n.Title + "” " + fmt.Sprintf(format, args...)}
}

func (s *subject) waitItem(w *scheduler.Wait) Item {
	text := w.To.String() + " after " + w.From.String()
	if !w.Least.Zero() {
		text += ", " + w.Least.String() + " at least"
	}
	if w.Pos.Line > 0 {
		text += fmt.Sprintf(" (line %d)", w.Pos.Line)
	}
	return Item{Steps: []scheduler.ID{w.From.Step, w.To.Step}, Text: text}
}

// share is "3 of 120 (2.5 %)".
func share(n, of int) string {
	if of == 0 {
		return "0 of 0"
	}
	return fmt.Sprintf("%d of %d (%.1f %%)", n, of, 100*float64(n)/float64(of))
}

// atMostFive passes where n of so many is no more than 5 %.
func atMostFive(n, of int) Result { return passIf(n*100 <= of*5) }

func passIf(ok bool) Result {
	if ok {
		return Pass
	}
	return Fail
}

// none passes a check that allows no items at all.
func none(c Check) Check {
	c.Figure, c.Limit, c.Result = strconv.Itoa(len(c.Items)), "0", passIf(len(c.Items) == 0)
	return c
}

// listed is a check that counts and fails nobody.
func listed(c Check) Check {
	c.Figure, c.Limit, c.Result = strconv.Itoa(len(c.Items)), "none", Info
	return c
}
