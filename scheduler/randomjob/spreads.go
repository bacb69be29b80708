package randomjob

import "gaugerod/scheduler"

// spreads draws how well and how badly work may go. It moves nothing.
func (g *maker) spreads() {
	if !g.has(Spreads) || g.chance(30) {
		return
	}
	for k := range g.job.Tasks {
		g.spread(&g.job.Tasks[k])
	}
	for k := range g.job.Typicals {
		for n := range g.job.Typicals[k].Tasks {
			g.spread(&g.job.Typicals[k].Tasks[n])
		}
	}
	for k := range g.job.Orders {
		for n := range g.job.Orders[k].Stages {
			if stage := &g.job.Orders[k].Stages[n]; g.chance(50) {
				stage.Spread.Worst = stage.Takes
				stage.Spread.Worst.Amount *= int32(g.between(1, 3))
			}
		}
	}
}

func (g *maker) spread(t *scheduler.Task) {
	if t.Takes.Zero() || g.chance(40) {
		return
	}
	t.Spread = scheduler.Spread{Best: t.Takes, Worst: t.Takes}
	t.Spread.Best.Amount -= t.Spread.Best.Amount / int32(g.between(2, 4))
	t.Spread.Worst.Amount += int32(g.between(0, 2)) * t.Takes.Amount
}
