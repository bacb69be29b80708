package randomjob

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// words draws what people say about days: dues, pins and waivers.
func (g *maker) words() {
	far := g.longest(-1)
	from := g.job.Start
	if g.job.AsOf != nil {
		from = *g.job.AsOf
	}
	if g.has(Dues) {
		g.dues(far, from)
	}
	if g.has(Pins) {
		g.pins(far, from)
	}
	if g.has(Waivers) {
		g.waivers(from)
	}
}

func (g *maker) dues(far []int, from worktime.Date) {
	for k := range g.rng.IntN(4) {
		at := len(g.nodes) - 1 - g.rng.IntN((len(g.nodes)+1)/2)
		days := far[at]*3 + g.between(10, 60)
		if g.chance(g.size.Tight) {
			days = far[at] / 2
		}
		g.job.Dues = append(g.job.Dues, scheduler.Due{
			ID: name("due", k), Title: "Due", Step: g.nodes[at].id, On: from + worktime.Date(days),
		})
	}
}

func (g *maker) pins(far []int, from worktime.Date) {
	for range g.rng.IntN(3) {
		k := g.rng.IntN(len(g.nodes))
		n := &g.nodes[k]
		if n.recorded || n.pinned || n.order != "" {
			continue
		}
		p := scheduler.Pin{Step: n.id, By: g.person(), Reason: "It suits the street."}
		day := from + worktime.Date(far[k]*2+g.between(5, 20))
		tight := g.chance(g.size.Tight)
		switch {
		case g.chance(50):
			p.NotBefore = &day
		case tight:
			day = from + worktime.Date(far[k]/2)
			p.On = &day
		case g.mostInto(n.id):
			continue
		default:
			day = g.workday(from + worktime.Date(far[k]*4+30))
			p.On = &day
		}
		n.pinned = true
		g.job.Pins = append(g.job.Pins, p)
	}
}

// mostInto says whether a most time leads into or out of a step, which a pin to a
// day could contradict.
func (g *maker) mostInto(id scheduler.ID) bool {
	for _, w := range g.job.Waits {
		if w.Most != nil && (w.To.Step == id || w.From.Step == id || g.groupOf(id) != "") {
			return true
		}
	}
	for _, b := range g.job.BuildUps {
		for _, l := range b.Layers {
			if l.By == id {
				return true
			}
		}
	}
	return g.groupOf(id) != ""
}

// workday is the first Tuesday or Wednesday from a day on that is no day off of
// anybody or any place on the job: every week works then.
func (g *maker) workday(day worktime.Date) worktime.Date {
	off := g.job.Closures
	for _, t := range g.job.Trades {
		off = append(off[:len(off):len(off)], t.Off...)
	}
	for _, p := range g.job.Places {
		off = append(off[:len(off):len(off)], p.Closures...)
	}
	for ; ; day++ {
		open := g.job.Week[day.Weekday()] != nil && (day.Weekday() == 2 || day.Weekday() == 3)
		for _, c := range off {
			open = open && (day < c.From || day > c.To)
		}
		if open {
			return day
		}
	}
}

func (g *maker) waivers(day worktime.Date) {
	for range g.rng.IntN(3) {
		if len(g.job.Waits) == 0 {
			return
		}
		w := pick(g, g.job.Waits)
		doubled := false
		for _, old := range g.job.Waivers {
			doubled = doubled || (old.From == w.From && old.To == w.To)
		}
		if doubled {
			continue
		}
		g.job.Waivers = append(g.job.Waivers, scheduler.Waiver{From: w.From, To: w.To, By: g.person(), On: day - 1, Reason: "It does not matter here."})
	}
}
