package selfcheck

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func (s *subject) negativeFloat() Check {
	var items []Item
	for _, k := range s.open {
		if p := s.planned[k]; p.TotalFloat < 0 {
			items = append(items, s.item(k, "has %.1f working days too few", -float64(p.TotalFloat)/float64(s.day)))
		}
	}
	return none(Check{
		Name: "negative float", Formula: "steps not done whose total float is below zero",
		Source: pamphlet + ", check 7 (from memory)", Items: items,
	})
}

// highFloat leaves out work in real time, whose float is real minutes.
func (s *subject) highFloat() Check {
	const most = 44 // working days
	var items []Item
	for _, k := range s.open {
		if p := s.planned[k]; !p.Elapsed && p.TotalFloat > most*s.day {
			items = append(items, s.item(k, "has %d working days", p.TotalFloat/s.day))
		}
	}
	return Check{
		Name: "high float", Formula: "steps not done whose total float is more than 44 working days ÷ steps not done",
		Figure: share(len(items), len(s.open)), Limit: "at most 5 %", Result: atMostFive(len(items), len(s.open)),
		Source: pamphlet + ", check 6 (from memory)", Items: items,
	}
}

// pathIndex is (working days to the finish + total float of the finish) ÷ working
// days to the finish, without limits of crews and places.
func (s *subject) pathIndex() Check {
	c := Check{
		Name:    "room on the longest path",
		Formula: "(working days from as of to the earliest finish + total float of the last step) ÷ working days from as of to the earliest finish",
		Limit:   "at least 0.95", Source: pamphlet + ", 3.1.2.3 (from memory)",
	}
	var last *scheduler.PlannedStep
	for _, k := range s.open {
		if p := s.planned[k]; last == nil || p.EarliestFinish.After(last.EarliestFinish) {
			last = p
		}
	}
	length := int64(0)
	if last != nil {
		length = s.siteMinutes(worktime.FromTime(s.plan.AsOf), worktime.FromTime(last.EarliestFinish))
	}
	if length <= 0 {
		c.Figure, c.Result = "nothing is left", Info
		return c
	}
	float := last.TotalFloat
	if last.Elapsed { // real minutes: said in the site's working time
		float = s.siteMinutes(worktime.FromTime(last.EarliestFinish), worktime.FromTime(last.LatestFinish))
	}
	index := float64(length+float) / float64(length)
	c.Figure, c.Result = fmt.Sprintf("%.2f", index), passIf(index >= 0.95)
	return c
}

// siteMinutes is the working minutes of the site from one instant to another,
// negative where the second comes first.
func (s *subject) siteMinutes(from, to worktime.Instant) int64 {
	if to < from {
		return -s.siteMinutes(to, from)
	}
	zone := s.plan.AsOf.Location()
	off := make([]worktime.DateRange, len(s.job.Closures))
	for k, c := range s.job.Closures {
		off[k] = worktime.DateRange{From: c.From, To: c.To}
	}
	c := worktime.NewAlmanac(zone, from.Date(zone)-1, to.Date(zone)+1).Calendar(s.job.Week, off)
	return c.Work(to) - c.Work(from)
}
