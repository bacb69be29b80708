package web

import (
	"fmt"
	"html/template"
	"sync"
	"time"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// laid is one sheet laid out for reading: everything by its name, and the days as they
// are written. It is the same for all who read the sheet, and nobody changes it.
type laid struct {
	clockwork
	*office.Sheet
	base   string // "/jobs/garden-studio"
	begins time.Time

	steps   map[scheduler.ID]*scheduler.PlannedStep
	holds   map[scheduler.ID]*scheduler.PlannedHold
	orders  map[scheduler.ID]*scheduler.PlannedOrder
	trades  map[scheduler.ID]*scheduler.Trade
	hatchOf map[scheduler.ID]int // by trade
	places  map[scheduler.ID]*scheduler.Place
	people  map[scheduler.ID]*scheduler.Person
	gear    map[scheduler.ID]*scheduler.Gear
	facts   map[scheduler.ID]*scheduler.Fact

	// What some pages need, made when one first does.
	everybody func() *choices                       // the people of the job
	defs      func() template.HTML                  // every trade's hatching
	swatches  func() map[scheduler.ID]template.HTML // every trade's swatch
	site      func() *worktime.Calendar             // the site's working time around the as-of day
}

// laidKey is under what a sheet laid out is kept beside it.
type laidKey struct{}

// layOut lays a sheet out, once.
func layOut(sheet *office.Sheet) (*laid, error) {
	made := sheet.Beside.Once(laidKey{}, func() any {
		l, err := newLaid(sheet)
		if err != nil {
			return err
		}
		return l
	})
	if err, failed := made.(error); failed {
		return nil, err
	}
	return made.(*laid), nil
}

func newLaid(sheet *office.Sheet) (*laid, error) {
	zone, err := time.LoadLocation(sheet.Job.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone of job %s: %w", sheet.Job.ID, err)
	}
	l := &laid{Sheet: sheet, base: "/jobs/" + string(sheet.Job.ID), begins: sheet.AsOf.At(0, zone).Time(zone)}
	l.clockwork = clockwork{zone: zone, year: l.begins.Year(), day: sheet.Job.DayMinutes(), book: newDayBook(sheet.Job, zone, sheet.AsOf)}
	l.byName()
	l.everybody = sync.OnceValue(l.chooseFrom)
	l.defs = sync.OnceValue(func() template.HTML { return draw.Defs(l.hatches()) })
	l.swatches = sync.OnceValue(l.drawSwatches)
	l.site = sync.OnceValue(l.siteCalendar)
	return l, nil
}

// chooseFrom is the people of the job.
func (l *laid) chooseFrom() *choices {
	var all []choice
	for _, p := range l.Job.People {
		all = append(all, choice{string(p.ID), p.Name + ", " + string(p.Role)})
	}
	return newChoices(all)
}

// hatches numbers every trade's hatching.
func (l *laid) hatches() []int {
	all := make([]int, len(l.Job.Trades)+1) // and one for what is no trade's
	for k := range all {
		all[k] = k
	}
	return all
}

func (l *laid) drawSwatches() map[scheduler.ID]template.HTML {
	all := make(map[scheduler.ID]template.HTML, len(l.Job.Trades))
	for k := range l.Job.Trades {
		t := &l.Job.Trades[k]
		all[t.ID] = draw.Swatch(k, t.Short)
	}
	return all
}

// swatchOf is the swatch of a trade, or of what is none.
func (l *laid) swatchOf(trade scheduler.ID) template.HTML {
	if s, known := l.swatches()[trade]; known {
		return s
	}
	return draw.Swatch(len(l.Job.Trades), "")
}

func (l *laid) siteCalendar() *worktime.Calendar {
	var off []worktime.DateRange
	for _, c := range l.Job.Closures {
		off = append(off, worktime.DateRange{From: c.From, To: c.To})
	}
	return worktime.NewAlmanac(l.zone, l.AsOf-400, l.AsOf+400).Calendar(l.Job.Week, off)
}

func (l *laid) byName() {
	job, plan := l.Job, l.Plan
	l.steps = index(plan.Steps, func(s *scheduler.PlannedStep) scheduler.ID { return s.ID })
	l.holds = index(plan.Holds, func(h *scheduler.PlannedHold) scheduler.ID { return h.ID })
	l.orders = index(plan.Orders, func(o *scheduler.PlannedOrder) scheduler.ID { return o.ID })
	l.trades = index(job.Trades, func(t *scheduler.Trade) scheduler.ID { return t.ID })
	l.places = index(job.Places, func(p *scheduler.Place) scheduler.ID { return p.ID })
	l.people = index(job.People, func(p *scheduler.Person) scheduler.ID { return p.ID })
	l.gear = index(job.Gear, func(g *scheduler.Gear) scheduler.ID { return g.ID })
	l.facts = index(job.Facts, func(f *scheduler.Fact) scheduler.ID { return f.Step })
	l.hatchOf = make(map[scheduler.ID]int, len(job.Trades))
	for k := range job.Trades {
		l.hatchOf[job.Trades[k].ID] = k
	}
}

func index[T any](all []T, key func(*T) scheduler.ID) map[scheduler.ID]*T {
	m := make(map[scheduler.ID]*T, len(all))
	for k := range all {
		m[key(&all[k])] = &all[k]
	}
	return m
}
