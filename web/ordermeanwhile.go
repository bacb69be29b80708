package web

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// meanwhileDays is how far after its planned day an order's page looks for work that
// does not need it. Common practice, no source.
const meanwhileDays = 14

// followers is the steps that wait for each step, by the waits alone.
func (b *board) followers() map[scheduler.ID][]scheduler.ID {
	after := make(map[scheduler.ID][]scheduler.ID, len(b.Plan.Steps))
	for k := range b.Plan.Waits {
		w := &b.Plan.Waits[k]
		if w.Waived == "" {
			after[w.FromID] = append(after[w.FromID], w.ToID)
		}
	}
	return after
}

// meanwhile says what stands still if an order does not come, and what is planned for
// those days and waits for it neither directly nor through others.
func (b *board) meanwhile(o *scheduler.Order, p *scheduler.PlannedOrder, after map[scheduler.ID][]scheduler.ID) []Line {
	id := o.DeliveryStep()
	needs := map[scheduler.ID]bool{id: true}
	for queue := []scheduler.ID{id}; len(queue) > 0; queue = queue[1:] {
		for _, next := range after[queue[0]] {
			if !needs[next] {
				needs[next] = true
				queue = append(queue, next)
			}
		}
	}
	from, until := earliest(p.Delivery, p.NeedBy), latest(p.Delivery, p.NeedBy).AddDate(0, 0, meanwhileDays)
	var still, goes []scheduler.ID
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.Kind != scheduler.TaskStep || s.State == scheduler.Complete || !s.Start.Before(until) || !s.Finish.After(from) {
			continue
		}
		if needs[s.ID] {
			still = append(still, s.ID)
		} else {
			goes = append(goes, s.ID)
		}
	}
	var lines []Line
	if len(still) > 0 {
		lines = append(lines, say("If it is late, of the work planned up to two weeks after it these wait: ", b.someSteps(still), "."))
	}
	if len(goes) > 0 {
		return append(lines, say("These can go on meanwhile, as far as the waits say: ", b.someSteps(goes), "."))
	}
	return append(lines, say("No other work is planned for those days that could go on meanwhile."))
}

// begunBy is the hold points that an order waits for before it can go out: decisions,
// measures, approvals.
func (b *board) begunBy(p *scheduler.PlannedOrder) []*scheduler.PlannedHold {
	if len(p.Stages) == 0 {
		return nil
	}
	var all []*scheduler.PlannedHold
	for k := range b.Plan.Waits {
		w := &b.Plan.Waits[k]
		if h := b.holds[w.FromID]; w.ToID == p.Stages[0] && h != nil && w.Waived == "" && !slices.Contains(all, h) {
			all = append(all, h)
		}
	}
	return all
}

// begunSays is begunBy in words.
func (b *board) begunSays(holds []*scheduler.PlannedHold) []Line {
	var lines []Line
	for _, h := range holds {
		lines = append(lines, say("Before it can go out: ", b.stepAt(h.ID), " (", b.holdStatus(h), ")."))
	}
	return lines
}

// startGates is the gates that an order waits for, to be drawn.
func (b *board) startGates(holds []*scheduler.PlannedHold) []draw.First {
	var marks []draw.First
	for _, h := range holds {
		marks = append(marks, draw.First{
			At: h.Planned, Gate: b.gate(h.ID), Href: b.link("/steps/" + string(h.ID)), Tip: h.Title + ": " + b.holdStatus(h).Text(),
		})
	}
	return marks
}
