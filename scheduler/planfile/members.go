package planfile

import "gaugerod/scheduler"

// The members of each object of a plan, in the order of the fields of its type.

func (w *writer) plan(p *scheduler.Plan) {
	w.raw("{")
	w.text("job", string(p.Job))
	w.text("title", p.Title)
	w.text("zone", p.Zone)
	w.number("engine", int64(p.Engine))
	w.time("as_of", p.AsOf)
	w.number("day_minutes", p.DayMinutes)
	w.time("finish", p.Finish)
	w.time("earliest_finish", p.EarliestFinish)
	w.time("bound", p.Bound)
	w.text("bound_reason", p.BoundReason)
	w.flag("proven", p.Proven)
	objects(w, "aims", p.Aims, (*writer).aim)
	w.number("near_critical", p.NearCritical)
	objects(w, "steps", p.Steps, (*writer).step)
	objects(w, "waits", p.Waits, (*writer).wait)
	objects(w, "holds", p.Holds, (*writer).hold)
	objects(w, "orders", p.Orders, (*writer).order)
	objects(w, "windows", p.Windows, (*writer).window)
	objects(w, "dues", p.Dues, (*writer).due)
	objects(w, "covers", p.Covers, (*writer).cover)
	w.ids("driving", p.Driving)
	objects(w, "contradictions", p.Contradictions, (*writer).contradiction)
	objects(w, "alerts", p.Alerts, (*writer).alert)
	w.raw("}")
}

func (w *writer) aim(a *scheduler.Aim) {
	w.text("kind", string(a.Kind))
	w.number("reached", a.Reached)
	w.number("least", a.Least)
	w.flag("proven", a.Proven)
	w.text("text", a.Text)
}

func (w *writer) step(s *scheduler.PlannedStep) {
	w.text("id", string(s.ID))
	w.text("kind", string(s.Kind))
	w.text("title", s.Title)
	w.idsIf("trades", s.Trades)
	w.idsIf("places", s.Places)
	w.textIf("typical", string(s.Typical))
	w.textIf("order", string(s.Order))
	if len(s.Cautions) > 0 {
		items(w, "cautions", s.Cautions, func(w *writer, c *scheduler.Caution) { w.quoted(string(*c)) })
	}
	w.text("state", string(s.State))
	w.time("earliest_start", s.EarliestStart)
	w.time("earliest_finish", s.EarliestFinish)
	w.time("latest_start", s.LatestStart)
	w.time("latest_finish", s.LatestFinish)
	w.time("start", s.Start)
	w.timeIf("resumes", s.Resumes)
	w.time("finish", s.Finish)
	w.time("plan_latest_finish", s.PlanLatest)
	w.time("plan_free_finish", s.PlanFree)
	w.number("work_minutes", s.Work)
	w.number("rest_minutes", s.Rest)
	w.flagIf("elapsed", s.Elapsed)
	w.number("start_float", s.StartFloat)
	w.number("finish_float", s.FinishFloat)
	w.number("total_float", s.TotalFloat)
	w.number("free_float", s.FreeFloat)
	w.number("slack", s.Slack)
	w.number("free_slack", s.FreeSlack)
	w.flag("critical", s.Critical)
	w.flag("near_critical", s.NearCritical)
	w.flagIf("out_of_order", s.OutOfOrder)
	objects(w, "drivers", s.Drivers, (*writer).driver)
	objects(w, "needs", s.Needs, (*writer).need)
}

func (w *writer) driver(d *scheduler.Driver) {
	w.text("kind", string(d.Kind))
	w.textIf("step", string(d.Step))
	w.text("text", d.Text)
}

func (w *writer) need(n *scheduler.Need) {
	w.text("step", string(n.Step))
	w.text("text", n.Text)
	w.flag("met", n.Met)
}

func (w *writer) wait(p *scheduler.PlannedWait) {
	w.text("from", p.From)
	w.text("to", p.To)
	w.text("from_step", string(p.FromID))
	w.text("to_step", string(p.ToID))
	w.text("from_end", p.FromEnd)
	w.text("to_end", p.ToEnd)
	w.text("least", p.Least)
	w.textIf("most", p.Most)
	w.textIf("reason", string(p.Reason))
	w.textIf("note", p.Note)
	w.textIf("source", p.Source)
	w.textIf("origin", p.Origin)
	w.time("opens", p.Opens)
	w.textIf("waived", p.Waived)
	w.flagIf("dropped", p.Dropped)
	w.flag("tight", p.Tight)
}

func (w *writer) hold(h *scheduler.PlannedHold) {
	w.text("id", string(h.ID))
	w.text("title", h.Title)
	w.text("kind", string(h.Kind))
	w.flagIf("witness", h.Witness)
	w.textIf("by", string(h.By))
	w.text("state", string(h.State))
	w.idsIf("places", h.Places)
	w.time("planned", h.Planned)
	w.time("need_by", h.NeedBy)
	w.time("latest_by", h.LatestBy)
	w.number("margin", h.Margin)
	w.timeIf("tell_by", h.TellBy)
	w.timeIf("booked", h.Booked)
	w.ids("holds_up", h.Holds)
}

func (w *writer) order(o *scheduler.PlannedOrder) {
	w.text("id", string(o.ID))
	w.text("title", o.Title)
	w.textIf("supplier", string(o.Supplier))
	w.text("state", string(o.State))
	w.time("planned_order", o.Planned)
	w.time("planned_delivery", o.Delivery)
	w.time("need_by", o.NeedBy)
	w.time("latest_by", o.LatestBy)
	w.time("order_by", o.OrderBy)
	w.time("latest_order", o.LatestOrder)
	w.number("margin", o.Margin)
	w.textIf("first_use", string(o.FirstUse))
	w.ids("stages", o.Stages)
	w.textIf("stand_in", o.StandIn)
}

func (w *writer) window(v *scheduler.Window) {
	w.text("id", v.ID)
	w.text("trade", string(v.Trade))
	w.text("place", string(v.Place))
	w.ids("steps", v.Steps)
	w.time("earliest", v.Earliest)
	w.time("from", v.From)
	w.time("until", v.Until)
	w.time("out_for_others", v.OutForOthers)
	w.time("out_for_due", v.OutForDue)
	w.time("tell_by", v.TellBy)
	w.ids("before", v.Before)
	w.ids("after", v.After)
}

func (w *writer) due(d *scheduler.PlannedDue) {
	w.text("id", string(d.ID))
	w.text("title", d.Title)
	w.text("step", string(d.Step))
	w.time("by", d.By)
	w.time("planned", d.Planned)
	w.number("margin", d.Margin)
	w.flag("missed", d.Missed)
}

func (w *writer) cover(c *scheduler.PlannedCover) {
	w.text("build_up", string(c.BuildUp))
	w.text("place", string(c.Place))
	w.text("layer", string(c.Layer))
	w.text("title", c.Title)
	w.text("step", string(c.Step))
	w.text("covered_by", string(c.CoveredBy))
	w.time("laid", c.Laid)
	w.time("covered", c.Covered)
	w.timeIf("limit", c.Limit)
	w.idsIf("unseen", c.Unseen)
	w.textIf("source", c.Source)
}

func (w *writer) contradiction(c *scheduler.Contradiction) {
	objects(w, "statements", c.Statements, (*writer).statement)
	w.number("dropped", int64(c.Dropped))
	w.flagIf("unproven", c.Unproven)
}

func (w *writer) statement(s *scheduler.Statement) {
	w.text("text", s.Text)
	w.numberIf("line", s.Line)
	w.numberIf("column", s.Column)
	w.idsIf("steps", s.Steps)
}

func (w *writer) alert(a *scheduler.Alert) {
	w.text("key", a.Key)
	w.text("kind", string(a.Kind))
	w.text("severity", string(a.Severity))
	w.idsIf("steps", a.Steps)
	w.idsIf("places", a.Places)
	w.idsIf("trades", a.Trades)
	w.idsIf("people", a.People)
	w.daysIf("days", a.Days)
	w.text("sentence", a.Sentence)
	w.text("remedy", a.Remedy)
	w.textIf("aside", a.Aside)
}
