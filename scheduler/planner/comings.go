package planner

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

func (s *solution) aimVisits() scheduler.Aim {
	visits, trades := levelling.CountVisits(s.problem, &s.planned)
	a := scheduler.Aim{Kind: scheduler.AimVisits, Reached: int64(visits), Least: int64(min(s.visits.least, visits))}
	a.Proven = a.Least == a.Reached
	many := fmt.Sprintf("%s by %s to the site", count(visits, "visit"), count(trades, "trade"))
	switch {
	case visits == 0:
		a.Text = "No trade has to come any more."
	case visits == trades:
		a.Text = "Each trade comes to the site once: " + many + "."
	case a.Proven:
		a.Text = upper(many) + ", the fewest possible with this finish, proven: the waits keep the work of each trade so far apart."
	default:
		a.Text = upper(many) + fmt.Sprintf(", not proven the fewest: at least %d are needed with this finish.", a.Least)
	}
	return a
}

func (s *solution) aimDeliveries() scheduler.Aim {
	a := scheduler.Aim{Kind: scheduler.AimDeliveries}
	var early []string
	for k := range s.net.Job.Orders {
		o := &s.net.Job.Orders[k]
		_, d, movable := s.lastLeg(o)
		use, ok := s.net.Find(s.firstUse(d))
		if s.h.Progress[d] == network.Done || !ok || s.h.Progress[use] != network.Open {
			continue
		}
		lies := s.tooLong(o, &s.planned, s.planned.Finish[d], use)
		if lies == 0 {
			continue
		}
		early = append(early, o.Title)
		a.Reached += lies
		if movable {
			lies = min(lies, s.tooLong(o, &s.planned, s.h.LatestFinishFor(d, &s.planned, s.noLater(d)), use))
		}
		a.Least += lies
	}
	a.Proven = a.Least == a.Reached
	switch many := "Goods of " + count(len(early), "order") + " lie on site for longer than they may"; {
	case len(early) == 0:
		a.Text = "No goods lie on site for longer than they may."
	case a.Proven:
		a.Text = many + ", and with all other dates as they are cannot come later: " + some(early, 3) + "."
	default:
		a.Text = many + ": " + some(early, 3) + "."
	}
	return a
}

// tooLong is the minutes by which goods that come at an instant lie on site before
// their first use for longer than they may: of working time, or of real time where the
// keeping time is.
func (s *solution) tooLong(o *scheduler.Order, t *network.Times, comes worktime.Instant, use int) int64 {
	c := s.keepCalendar(o)
	return max(0, c.Work(t.Start[use])-c.Work(comes)-s.net.Job.Minutes(o.MaySit()))
}

// keepCalendar is what an order's keeping time is counted on.
func (s *solution) keepCalendar(o *scheduler.Order) *worktime.Calendar {
	if o.MaySit().Elapsed() {
		return s.h.Calendars[network.RealTime]
	}
	return s.h.Calendars[network.Site]
}
