package planner

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

func (s *solution) dues() []scheduler.PlannedDue {
	var list []scheduler.PlannedDue
	for k := range s.net.Job.Dues {
		d := &s.net.Job.Dues[k]
		i, ok := s.net.Find(d.Step)
		if !ok {
			continue
		}
		by := (d.On + 1).At(0, s.h.Zone)
		list = append(list, scheduler.PlannedDue{
			ID: d.ID, Title: d.Title, Step: d.Step, By: s.time(by), Planned: s.time(s.planned.Finish[i]),
			Margin: s.siteMinutes(s.planned.Finish[i], by), Missed: s.planned.Finish[i] > by,
		})
	}
	return list
}

func (s *solution) covers() []scheduler.PlannedCover {
	var list []scheduler.PlannedCover
	for k := range s.net.Covers {
		c := &s.net.Covers[k]
		i, okLaid := s.net.Find(c.Step)
		j, okCovered := s.net.Find(c.CoveredBy)
		if !okLaid || !okCovered {
			continue
		}
		laid := s.end(scheduler.Point{Step: c.Step, End: scheduler.Start})
		p := scheduler.PlannedCover{
			BuildUp: c.BuildUp, Place: c.Place, Layer: c.Layer, Title: c.LayerName,
			Step: s.net.Steps[i].ID, CoveredBy: s.net.Steps[j].ID,
			Laid: s.time(laid), Covered: s.time(s.planned.Finish[j]), Source: c.Source,
		}
		if c.Exposed != nil {
			limit := s.time(laid + worktime.Instant(s.net.Job.Minutes(*c.Exposed)))
			p.Limit = &limit
		}
		for _, id := range c.Seen {
			if h, ok := s.net.Find(id); ok && s.h.Progress[h] != network.Done {
				p.Unseen = append(p.Unseen, id)
			}
		}
		list = append(list, p)
	}
	return list
}

func (s *solution) waiver(k int) string {
	if !s.net.Waived[k] {
		return ""
	}
	if w, ok := expand.WaiverOf(s.net, k); ok {
		return w.Reason
	}
	return "waived"
}
