package web

import (
	"cmp"
	"html/template"
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

type ordersPage struct {
	Frame
	Defs   template.HTML
	Orders []orderEntry
	Here   []Line // delivered

	Drawings []drawingEntry
	Add      Part // where a drawing is added; empty: the reader may not
}

type orderEntry struct {
	ID       scheduler.ID
	Title    string
	Supplier string
	Edit     Part
	Says     []Line
	Late     bool
	Picture  template.HTML
	Stages   []stageEntry
	StandIn  string

	Begun     []Line // the gates before it can go out
	Meanwhile []Line // what waits for it, and what goes on without it

	Note     string
	Cautions []scheduler.Caution
	sort     time.Time
}

type stageEntry struct {
	Step  Part
	Whose string
	Takes string
	Says  Line
}

func (ordersPage) name() string { return "orders" }

func (p *Pages) orders(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newOrdersPage(b))
}

func newOrdersPage(b *board) ordersPage {
	pg := ordersPage{Frame: b.frame("Orders", "/orders"), Defs: draw.Defs(nil), Drawings: b.drawingList(), Add: b.changeOf("Add a drawing", "drawings", newThing)}
	after := b.followers()
	for k := range b.Job.Orders {
		o := &b.Job.Orders[k]
		planned := b.orders[o.ID]
		if planned == nil {
			continue
		}
		if planned.State == scheduler.Complete {
			pg.Here = append(pg.Here, say(Part{Text: o.Title, Href: b.link("/steps/" + string(o.DeliveryStep()))}, ", delivered on ", b.to(b.on(planned.Delivery), o.DeliveryStep(), heldThere), "."))
			continue
		}
		pg.Orders = append(pg.Orders, b.order(o, planned, after))
	}
	slices.SortStableFunc(pg.Orders, func(x, y orderEntry) int { return x.sort.Compare(y.sort) })
	return pg
}

func (b *board) order(o *scheduler.Order, p *scheduler.PlannedOrder, after map[scheduler.ID][]scheduler.ID) orderEntry {
	e := orderEntry{
		ID: o.ID, Edit: b.changeOf("Change the order", "orders", string(o.ID)), Title: o.Title, Supplier: b.who(o.Supplier), StandIn: o.StandIn, Note: o.Note, Cautions: o.Cautions,
		Late: p.Margin < 0 || p.State != scheduler.Underway && p.OrderBy.Before(b.begins),
		sort: p.OrderBy, Says: b.orderSays(o, p), Picture: b.orderChain(o, p), Begun: b.begunSays(b.begunBy(p)), Meanwhile: b.meanwhile(o, p, after),
	}
	for n, id := range p.Stages {
		s := b.steps[id]
		if s == nil {
			continue
		}
		stage := stageEntry{Step: b.step(id), Says: b.stageSays(s)}
		if n < len(o.Stages) {
			stage.Step.Text = cmp.Or(o.Stages[n].Title, stage.Step.Text)
			stage.Takes, stage.Whose = o.Stages[n].Takes.String(), b.who(o.Stages[n].By)
		}
		e.Stages = append(e.Stages, stage)
	}
	return e
}

func (b *board) orderSays(o *scheduler.Order, p *scheduler.PlannedOrder) []Line {
	var lines []Line
	if p.State == scheduler.Underway {
		lines = append(lines, say("Placed on ", b.to(b.on(p.Planned), b.placing(p), heldThere), "."))
	} else {
		lines = append(lines, say("Order by ", say(b.to(b.on(p.OrderBy), b.placing(p), slipsTo)).strong(), " ("+away(b.AsOf, b.civil(p.OrderBy))+"), so that nobody waits; by ",
			b.to(b.on(p.LatestOrder), b.placing(p), slipsTo), ", so that the due days hold. Planned for ", b.to(b.on(p.Planned), b.placing(p), heldThere), "."))
	}
	come := say("Comes on ", say(b.to(b.on(p.Delivery), b.coming(p), heldThere)).strong(), "; needed by ", b.to(b.onEnd(p.NeedBy), b.coming(p), slipsTo))
	if p.FirstUse != "" {
		come = say(come, " for ", b.stepAt(p.FirstUse))
	}
	lines = append(lines, say(come, ": "+b.margin(p.Margin)+"."))
	if f := b.facts[o.DeliveryStep()]; f != nil && f.Expected != nil {
		lines = append(lines, say("The latest word is ", b.to(b.onDate(f.Expected.Day), o.DeliveryStep(), heldThere), "."))
	}
	return lines
}

func (b *board) stageSays(s *scheduler.PlannedStep) Line {
	switch s.State {
	case scheduler.Complete:
		return say("done ", b.endOf(s))
	case scheduler.Underway:
		return say("under way since ", b.startOf(s), ", until ", b.endOf(s))
	default:
		return b.fromTo(s)
	}
}

// placing is the first stage of an order, and coming its delivery.
func (b *board) placing(p *scheduler.PlannedOrder) scheduler.ID {
	if len(p.Stages) > 0 {
		return p.Stages[0]
	}
	return b.coming(p)
}

func (b *board) coming(p *scheduler.PlannedOrder) scheduler.ID {
	return (&scheduler.Order{ID: p.ID}).DeliveryStep()
}

// chainKey is under what the picture of an order is kept beside a sheet.
type chainKey struct {
	order scheduler.ID
	query string
}

func (b *board) orderChain(o *scheduler.Order, p *scheduler.PlannedOrder) template.HTML {
	return b.Beside.Once(chainKey{o.ID, b.query}, func() any { return b.drawChain(o, p) }).(template.HTML)
}

// drawChain draws the order hung from its need-by day.
func (b *board) drawChain(o *scheduler.Order, p *scheduler.PlannedOrder) template.HTML {
	starts := b.startGates(b.begunBy(p))
	first := earliest(p.Planned, p.OrderBy, b.begins)
	for _, m := range starts {
		if !m.At.Before(b.begins) {
			first = earliest(first, m.At)
		}
	}
	last := latest(p.NeedBy, p.Delivery)
	orderBy := p.OrderBy
	if p.State == scheduler.Underway {
		orderBy = time.Time{}
	}
	ch := draw.Chain{
		Scale: b.scale(b.civil(first)-3, b.civil(last)+5, 700, 700), Deliver: p.Delivery, NeedBy: p.NeedBy, OrderBy: orderBy,
		AsOf: b.begins, Gate: b.gate(o.DeliveryStep()), Starts: starts,
		Tip: "Needed by " + b.onEnd(p.NeedBy).Text,
	}
	for n, id := range p.Stages {
		s := b.steps[id]
		if s == nil || s.Kind != scheduler.StageStep || n >= len(o.Stages) {
			continue
		}
		ch.Legs = append(ch.Legs, draw.Leg{
			Title: cmp.Or(o.Stages[n].Title, s.Title), Href: b.link("/steps/" + string(id)), Tip: s.Title + ": " + b.stageSays(s).Text(),
			Start: s.Start, Finish: s.Finish, Progress: progressOf(s),
		})
	}
	return ch.Draw(cmp.Or(o.Title, string(o.ID)) + ", stage by stage")
}

func earliest(ts ...time.Time) time.Time { return slices.MinFunc(ts, time.Time.Compare) }
func latest(ts ...time.Time) time.Time   { return slices.MaxFunc(ts, time.Time.Compare) }

// scale lays out the days from one to another over about a width, a working day no wider
// than a measure, both in pixels.
func (b *board) scale(from, to worktime.Date, width, widest float64) *draw.Scale {
	days := max(7, int(to-from)+1)
	works := 0.0
	for d := range days {
		if b.hours(from + worktime.Date(d)).Works {
			works++
		} else {
			works += 0.28
		}
	}
	return draw.NewScale(from, days, min(max(2, width/works), widest), b.hours)
}

// hours is when the site works on a day.
func (b *board) hours(d worktime.Date) *draw.Hours { return &b.book.day(d).hours }
