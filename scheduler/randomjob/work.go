package randomjob

import (
	"strconv"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// work draws tasks, holds, orders and typicals until there are enough steps,
// each joined by waits to some that came before it.
func (g *maker) work() {
	for k := 0; len(g.nodes) < g.size.Steps; k++ {
		left := g.size.Steps - len(g.nodes)
		switch draw := g.rng.IntN(100); {
		case draw < 15 && g.has(Holds):
			g.hold(name("hold", k))
		case draw < 22 && g.has(Orders) && left > 2:
			g.order(name("order", k))
		case draw < 30 && g.has(Typicals) && left > 3:
			g.typical(name("typical", k), k)
		default:
			g.task(name("task", k))
		}
	}
}

func (g *maker) tradeIDs() []scheduler.ID {
	ids := make([]scheduler.ID, len(g.job.Trades))
	for k := range ids {
		ids[k] = g.job.Trades[k].ID
	}
	return ids
}

func (g *maker) placeIDs() []scheduler.ID {
	ids := make([]scheduler.ID, len(g.job.Places))
	for k := range ids {
		ids[k] = g.job.Places[k].ID
	}
	return ids
}

// few is up to two of the names, mostly one.
func (g *maker) few(from []scheduler.ID) []scheduler.ID {
	if g.chance(85) {
		return some(g, from, 1)
	}
	return some(g, from, 2)
}

// draw is the work of one task. Without placed it has no place of its own.
func (g *maker) draw(placed bool) scheduler.Work {
	w := scheduler.Work{Trades: g.few(g.tradeIDs()), Crews: 1, Takes: g.working()}
	if g.has(Elapsed) && g.chance(8) {
		w.Takes = g.real()
	}
	if g.chance(4) {
		w.Takes = worktime.Span{}
	}
	if g.chance(10) {
		w.Trades = nil
	}
	if g.has(Crews) && len(w.Trades) == 1 && g.chance(20) {
		w.Crews = g.crewsOf(w.Trades[0])
	}
	if placed && g.chance(90) {
		w.Places = g.few(g.placeIDs()[1:])
	}
	if g.has(Alone) && len(w.Places) > 0 && g.chance(15) {
		w.Alone = true
	}
	if g.has(GearUse) && g.chance(25) {
		w.Gear = some(g, g.gearIDs(), 2)
	}
	if g.chance(10) {
		w.Cautions = some(g, scheduler.Cautions, 2)
		w.Weather = &scheduler.Weather{Dry: true}
	}
	return w
}

func (g *maker) crewsOf(trade scheduler.ID) int {
	for _, t := range g.job.Trades {
		if t.ID == trade {
			return t.Crews
		}
	}
	return 1
}

func (g *maker) gearIDs() []scheduler.ID {
	ids := make([]scheduler.ID, len(g.job.Gear))
	for k := range ids {
		ids[k] = g.job.Gear[k].ID
	}
	return ids
}

func (g *maker) person() scheduler.ID { return pick(g, g.job.People).ID }

func (g *maker) task(id scheduler.ID) {
	t := scheduler.Task{ID: id, Title: "Task " + string(id), Work: g.draw(true)}
	g.job.Tasks = append(g.job.Tasks, t)
	before := len(g.nodes)
	g.add(node{id: id, kind: scheduler.TaskStep, takes: t.Takes, trades: t.Trades, places: t.Places})
	g.waitsInto(id, before)
}

// drawHold is a hold or witness point without an order of its own.
func (g *maker) drawHold(id scheduler.ID, placed bool) scheduler.Hold {
	h := scheduler.Hold{ID: id, Title: "Hold " + string(id), Kind: pick(g, scheduler.HoldKinds), By: g.person()}
	h.Crews = 1
	if g.has(Notices) && g.chance(50) {
		h.Notice = span(g.between(1, 5), worktime.Days)
	}
	if placed && g.chance(50) {
		h.Places = g.few(g.placeIDs()[1:])
	}
	if g.has(Witnesses) && g.chance(25) {
		h.Witness = true
		if h.Notice.Zero() {
			h.Notice = span(g.between(1, 30), worktime.Hours)
		}
	} else if g.chance(40) {
		h.Takes = span(g.between(1, 6), worktime.Hours)
		if g.chance(50) {
			h.Trades = g.few(g.tradeIDs())
		}
	}
	if h.Kind == scheduler.Measure {
		nominal := g.between(300, 3000)
		h.Nominal, h.Tolerance = &nominal, g.between(1, 10)
	}
	return h
}

func (g *maker) holdNode(id scheduler.ID, h *scheduler.Hold, places []scheduler.ID) node {
	n := node{id: id, kind: scheduler.HoldStep, hold: h.Kind, witness: h.Witness, takes: h.Takes, trades: h.Trades, places: places}
	if h.Witness {
		n.takes = h.Notice
	}
	return n
}

func (g *maker) hold(id scheduler.ID) {
	h := g.drawHold(id, true)
	g.job.Holds = append(g.job.Holds, h)
	before := len(g.nodes)
	g.add(g.holdNode(id, &h, h.Places))
	g.waitsInto(id, before)
}

var stageNames = []scheduler.ID{"drawing", "approval", "making", "carriage"}

func (g *maker) order(id scheduler.ID) {
	o := scheduler.Order{ID: id, Title: "Order " + string(id), Supplier: pick(g, g.tradeIDs())}
	before := len(g.nodes)
	last := scheduler.ID("")
	for _, s := range some(g, stageNames, 4) {
		stage := scheduler.Stage{ID: s, Title: "Stage " + string(s), Takes: g.working(), By: g.person()}
		if g.chance(50) {
			stage.By = pick(g, g.tradeIDs())
		}
		if g.has(Elapsed) && g.chance(30) {
			stage.Takes = g.real()
		}
		o.Stages = append(o.Stages, stage)
		step := id + "." + s
		g.add(node{id: step, kind: scheduler.StageStep, takes: stage.Takes, order: id})
		g.join(last, step, worktime.Span{})
		last = step
	}
	n := node{id: o.DeliveryStep(), kind: scheduler.HoldStep, hold: scheduler.Delivery, order: id}
	if g.chance(70) {
		o.Unload = span(g.between(1, 5), worktime.Hours)
		o.Places = some(g, g.placeIDs()[1:], 1)
		if g.has(GearUse) && g.chance(40) {
			o.Gear = some(g, g.gearIDs(), 1)
		}
	}
	o.Receives = g.person()
	if g.chance(50) {
		o.Receives = pick(g, g.tradeIDs())
		n.trades = []scheduler.ID{o.Receives}
	}
	if g.chance(30) {
		o.Keep, o.StandIn = span(g.between(3, 20), worktime.Days), "something else meanwhile"
	}
	n.takes, n.places = o.Unload, o.Places
	g.job.Orders = append(g.job.Orders, o)
	g.add(n)
	g.join(last, n.id, worktime.Span{})
	g.waitsInto(o.FirstStep(), before)
}

// typical is two or three local steps repeated at one to three places.
func (g *maker) typical(id scheduler.ID, number int) {
	ty := scheduler.Typical{ID: id, Title: "Typical " + string(id), Places: some(g, g.placeIDs()[1:], 3)}
	for k := range g.between(1, 3) {
		local := scheduler.ID("s" + strconv.Itoa(number+1) + "-" + strconv.Itoa(k+1))
		if k > 0 && g.has(Holds) && g.chance(30) {
			ty.Holds = append(ty.Holds, g.drawHold(local, g.chance(20)))
			continue
		}
		w := g.draw(g.chance(15))
		ty.Tasks = append(ty.Tasks, scheduler.Task{ID: local, Title: "Step " + string(local), Work: w})
	}
	before := len(g.nodes)
	for _, place := range ty.Places {
		at := func(own []scheduler.ID) []scheduler.ID {
			if len(own) > 0 {
				return own
			}
			return []scheduler.ID{place}
		}
		for k := range ty.Tasks {
			t := &ty.Tasks[k]
			n := node{id: place + "." + t.ID, kind: scheduler.TaskStep, takes: t.Takes, trades: t.Trades, places: at(t.Places)}
			g.add(n, id+"."+t.ID)
		}
		for k := range ty.Holds {
			h := &ty.Holds[k]
			g.add(g.holdNode(place+"."+h.ID, h, at(h.Places)), id+"."+h.ID)
		}
	}
	g.localWaits(&ty)
	g.job.Typicals = append(g.job.Typicals, ty)
	g.waitsInto(id+"."+ty.Tasks[0].ID, before)
}
