package randomjob

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// promises draws what was agreed with trades. It comes last and moves nothing: the
// days on which a trade says that it cannot come are days off that it has anyway.
func (g *maker) promises() {
	if !g.has(Promises) || g.chance(30) {
		return
	}
	from := g.job.Start
	if g.job.AsOf != nil {
		from = *g.job.AsOf
	}
	for k := range g.between(1, 3) {
		day := from - worktime.Date(3-k)
		g.job.Issues = append(g.job.Issues, scheduler.Issue{Letter: scheduler.Letter(k), On: day, AsOf: day, By: g.person(), Note: "As agreed."})
	}
	seen := map[string]bool{}
	for k := range g.nodes {
		n := &g.nodes[k]
		if len(n.trades) == 0 || len(n.places) == 0 || n.kind == scheduler.StageStep || g.chance(60) {
			continue
		}
		p := scheduler.Promise{Trade: pick(g, n.trades), Place: pick(g, n.places), Steps: []scheduler.ID{n.id}}
		p.Window = string(p.Trade) + "." + string(p.Place) + "." + string(n.id)
		p.From = from + worktime.Date(g.between(-5, 40))
		p.Until = p.From + worktime.Date(g.rng.IntN(6))
		if seen[p.Window] {
			continue
		}
		seen[p.Window] = true
		if g.chance(70) {
			p.Letter = g.job.LastIssue().Letter
		}
		if p.Letter == "" || g.chance(40) {
			p.Confirmed, p.By = &from, p.Trade
		}
		g.job.Promises = append(g.job.Promises, p)
		g.answer(&p, from)
	}
}

// answer has the trade of a window say that it cannot come on days that it has off.
func (g *maker) answer(p *scheduler.Promise, on worktime.Date) {
	for _, t := range g.job.Trades {
		if t.ID == p.Trade && len(t.Off) > 0 && g.chance(50) {
			off := pick(g, t.Off)
			g.job.Answers = append(g.job.Answers, scheduler.Answer{
				Window: p.Window, Trade: p.Trade, Place: p.Place, Steps: p.Steps, From: off.From, To: off.To, On: on, By: p.Trade, Note: "Another job.",
			})
		}
	}
}
