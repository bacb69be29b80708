package rules

import (
	"gaugerod/scheduler"
)

func (c *checker) checkOrders() {
	for k := range c.job.Orders {
		o := &c.job.Orders[k]
		s := about("order", o.ID, o.Pos)
		c.title(s, "title", o.Title)
		c.line(s, "stand-in", o.StandIn)
		c.text(s, "note", o.Note)
		c.somebody(s, "supplier", o.Supplier)
		c.somebody(s, "receives", o.Receives)
		c.knownEach(s, "places", o.Places, &c.places)
		c.knownEach(s, "gear", o.Gear, &c.gear)
		c.working(s, "unload", o.Unload)
		c.span(s, "keep", o.Keep)
		c.checkCautions(s, o.Cautions)
		c.checkStages(o)
		c.checkEverWorks(s, &scheduler.Work{Trades: []scheduler.ID{o.Receives}, Takes: o.Unload}, o.Places)
	}
}

func (c *checker) checkStages(o *scheduler.Order) {
	seen := map[scheduler.ID]bool{}
	for k := range o.Stages {
		g := &o.Stages[k]
		s := subject{g.Pos, called("stage", g.ID) + " of " + called("order", o.ID)}
		c.checkID(s, g.ID)
		if g.ID == scheduler.DeliveryStage {
			c.fault(s, "", string(g.ID), "has the name of the hold point in which every order ends", "give it another name; unloading is written under unload")
		}
		seen[g.ID] = true
		c.title(s, "title", g.Title)
		c.somebody(s, "by", g.By)
		c.span(s, "takes", g.Takes)
		c.checkSpread(s, g.Takes, g.Spread)
		c.checkEverWorks(s, &scheduler.Work{Trades: []scheduler.ID{g.By}, Takes: g.Takes}, nil)
	}
}
