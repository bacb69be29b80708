package web

import (
	"fmt"
	"net/http"
	"time"

	"gaugerod/api/office"
	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// board is one sheet laid out for reading: everything by its name, and the words
// for it. Pages are made from a board and change nothing in it.
type board struct {
	clockwork
	*office.Sheet
	now     time.Time
	visitor signin.Visitor
	base    string // "/jobs/garden-studio"
	query   string // "?as-of=2026-05-18" where a day was asked for, else empty
	begins  time.Time

	steps  map[scheduler.ID]*scheduler.PlannedStep
	holds  map[scheduler.ID]*scheduler.PlannedHold
	orders map[scheduler.ID]*scheduler.PlannedOrder
	trades map[scheduler.ID]*scheduler.Trade
	places map[scheduler.ID]*scheduler.Place
	people map[scheduler.ID]*scheduler.Person
	gear   map[scheduler.ID]*scheduler.Gear
	facts  map[scheduler.ID]*scheduler.Fact
}

func newBoard(sheet *office.Sheet, now time.Time, asked bool) (*board, error) {
	zone, err := time.LoadLocation(sheet.Job.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone of job %s: %w", sheet.Job.ID, err)
	}
	b := &board{
		Sheet: sheet, now: now.In(zone), base: "/jobs/" + string(sheet.Job.ID),
		begins: sheet.AsOf.At(0, zone).Time(zone),
	}
	b.clockwork = clockwork{zone: zone, day: sheet.Job.DayMinutes()}
	b.year = b.begins.Year()
	if asked {
		b.query = "?as-of=" + sheet.AsOf.String()
	}
	b.byName()
	return b, nil
}

func (b *board) byName() {
	job, plan := b.Job, b.Plan
	b.steps = index(plan.Steps, func(s *scheduler.PlannedStep) scheduler.ID { return s.ID })
	b.holds = index(plan.Holds, func(h *scheduler.PlannedHold) scheduler.ID { return h.ID })
	b.orders = index(plan.Orders, func(o *scheduler.PlannedOrder) scheduler.ID { return o.ID })
	b.trades = index(job.Trades, func(t *scheduler.Trade) scheduler.ID { return t.ID })
	b.places = index(job.Places, func(p *scheduler.Place) scheduler.ID { return p.ID })
	b.people = index(job.People, func(p *scheduler.Person) scheduler.ID { return p.ID })
	b.gear = index(job.Gear, func(g *scheduler.Gear) scheduler.ID { return g.ID })
	b.facts = index(job.Facts, func(f *scheduler.Fact) scheduler.ID { return f.Step })
}

func index[T any](all []T, key func(*T) scheduler.ID) map[scheduler.ID]*T {
	m := make(map[scheduler.ID]*T, len(all))
	for k := range all {
		m[key(&all[k])] = &all[k]
	}
	return m
}

// may says whether the reader may send the form of a path below the job's, as the
// route is declared.
func (b *board) may(path string) bool {
	return rights.May(b.visitor, http.MethodPost, "/jobs/:job"+path)
}

// link is a path of this job, with the day that was asked for.
func (b *board) link(path string) string { return b.base + path + b.query }

// step is a step's title as a link to its page.
func (b *board) step(id scheduler.ID) Part {
	return Part{Text: b.stepTitle(id), Href: b.link("/steps/" + string(id))}
}

func (b *board) stepTitle(id scheduler.ID) string {
	s := b.steps[id]
	if s == nil || s.Title == "" {
		return string(id)
	}
	return s.Title
}

// stepAt is a step with its place, which tells instances of a typical apart.
func (b *board) stepAt(id scheduler.ID) Line {
	l := say(b.step(id))
	if s := b.steps[id]; s != nil && len(s.Places) > 0 {
		l = append(l, Part{Text: ", " + b.placeNames(s.Places)})
	}
	return l
}

func (b *board) trade(id scheduler.ID) Part {
	t := b.trades[id]
	if t == nil {
		return Part{Text: b.who(id)}
	}
	return Part{Text: t.Title, Href: b.link("/trades/" + string(id))}
}

// who is a person's or a trade's name.
func (b *board) who(id scheduler.ID) string {
	if p := b.people[id]; p != nil {
		return p.Name
	}
	if t := b.trades[id]; t != nil {
		return t.Title
	}
	return string(id)
}

func (b *board) place(id scheduler.ID) string {
	if p := b.places[id]; p != nil {
		return p.Title
	}
	return string(id)
}

// placeNames lists places, at most three by name.
func (b *board) placeNames(ids []scheduler.ID) string {
	const most = 3
	var names []string
	for k, id := range ids {
		if k == most {
			names = append(names, fmt.Sprintf("%d more", len(ids)-most))
			break
		}
		names = append(names, b.place(id))
	}
	return listed(names)
}

func (b *board) tradeNames(ids []scheduler.ID) Line {
	var lines []Line
	for _, id := range ids {
		lines = append(lines, say(b.trade(id)))
	}
	return together(lines)
}

// hatch is the number of a trade's hatching: its place in the job.
func (b *board) hatch(id scheduler.ID) int {
	for k := range b.Job.Trades {
		if b.Job.Trades[k].ID == id {
			return k
		}
	}
	return len(b.Job.Trades)
}

// short is a trade's letters.
func (b *board) short(id scheduler.ID) string {
	if t := b.trades[id]; t != nil && t.Short != "" {
		return t.Short
	}
	return ""
}

// done says whether nothing is left of a step.
func (b *board) done(id scheduler.ID) bool {
	s := b.steps[id]
	return s != nil && s.State == scheduler.Complete
}

// today is the civil day on which the page is read.
func (b *board) today() worktime.Date { return b.civil(b.now) }
