package alert

import (
	"slices"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// view is a network and its plan, indexed for the questions that alerts ask.
type view struct {
	net  *scheduler.Network
	job  *scheduler.Job
	plan *scheduler.Plan

	zone  *time.Location
	asOf  time.Time
	today worktime.Date
	site  *worktime.Calendar
	day   int64 // working minutes in "1 day", at least 1

	planned   []*scheduler.PlannedStep // by step of the network; nil: not in the plan
	facts     map[scheduler.ID]*scheduler.Fact
	into, out waitsOf // by step of the network
	places    map[scheduler.ID]*scheduler.Place
	trades    map[scheduler.ID]*scheduler.Trade
	people    map[scheduler.ID]*scheduler.Person
	orders    map[scheduler.ID]*scheduler.Order
	days      map[worktime.Date]string // in words, as they were asked for

	alerts []scheduler.Alert
}

func newView(net *scheduler.Network, plan *scheduler.Plan) *view {
	job := net.Job
	v := &view{
		net: net, job: job, plan: plan,
		zone: plan.AsOf.Location(), asOf: plan.AsOf, day: max(job.DayMinutes(), 1),
		planned: make([]*scheduler.PlannedStep, len(net.Steps)),
		facts:   make(map[scheduler.ID]*scheduler.Fact, len(job.Facts)),
		into:    groupWaits(net, func(e scheduler.Ends) int32 { return e.To }),
		out:     groupWaits(net, func(e scheduler.Ends) int32 { return e.From }),
		days:    map[worktime.Date]string{},
		places:  byID(job.Places, func(p *scheduler.Place) scheduler.ID { return p.ID }),
		trades:  byID(job.Trades, func(t *scheduler.Trade) scheduler.ID { return t.ID }),
		people:  byID(job.People, func(p *scheduler.Person) scheduler.ID { return p.ID }),
		orders:  byID(job.Orders, func(o *scheduler.Order) scheduler.ID { return o.ID }),
	}
	v.today = v.date(plan.AsOf)
	for k := range plan.Steps {
		if i, ok := v.numberOf(k); ok {
			v.planned[i] = &plan.Steps[k]
		}
	}
	for k := range job.Facts {
		v.facts[job.Facts[k].Step] = &job.Facts[k]
	}
	v.site = siteCalendar(job, plan, v.zone)
	return v
}

// numberOf is the step of the network that a step of the plan is: mostly the one in
// the same place.
func (v *view) numberOf(k int) (int, bool) {
	id := v.plan.Steps[k].ID
	if k < len(v.net.Steps) && v.net.Steps[k].ID == id {
		return k, true
	}
	return v.net.Find(id)
}

// waitsOf is the waits at one end of each step.
type waitsOf struct{ first, waits []int32 }

func (w *waitsOf) at(step int) []int32 { return w.waits[w.first[step]:w.first[step+1]] }

func groupWaits(net *scheduler.Network, end func(scheduler.Ends) int32) waitsOf {
	w := waitsOf{first: make([]int32, len(net.Steps)+1), waits: make([]int32, len(net.Waits))}
	for _, e := range net.Ends {
		w.first[end(e)+1]++
	}
	for i := range net.Steps {
		w.first[i+1] += w.first[i]
	}
	next := slices.Clone(w.first)
	for k, e := range net.Ends {
		at := &next[end(e)]
		w.waits[*at] = int32(k)
		*at++
	}
	return w
}

func byID[T any](list []T, id func(*T) scheduler.ID) map[scheduler.ID]*T {
	m := make(map[scheduler.ID]*T, len(list))
	for k := range list {
		m[id(&list[k])] = &list[k]
	}
	return m
}

// siteCalendar lays the site's week out over the days that a plan speaks of.
func siteCalendar(job *scheduler.Job, plan *scheduler.Plan, zone *time.Location) *worktime.Calendar {
	first, last := plan.AsOf, plan.AsOf
	for k := range plan.Steps {
		s := &plan.Steps[k]
		for _, t := range [...]time.Time{s.Start, s.Finish, s.LatestFinish} {
			if t.IsZero() {
				continue
			}
			if t.Before(first) {
				first = t
			}
			if t.After(last) {
				last = t
			}
		}
	}
	from := min(worktime.FromTime(first).Date(zone), job.Start) - 31
	to := worktime.FromTime(last).Date(zone) + 366
	off := make([]worktime.DateRange, len(job.Closures))
	for k, c := range job.Closures {
		off[k] = worktime.DateRange{From: c.From, To: c.To}
	}
	return worktime.NewAlmanac(zone, from, to).Calendar(job.Week, off)
}

// date is the civil day of a time on the site.
func (v *view) date(t time.Time) worktime.Date { return worktime.FromTime(t).Date(v.zone) }

// lastDate is the civil day by whose end a time is reached: midnight belongs to
// the day before.
func (v *view) lastDate(t time.Time) worktime.Date { return v.date(t.Add(-time.Minute)) }

// step is the planned step of a name, nil where there is none.
func (v *view) step(id scheduler.ID) *scheduler.PlannedStep {
	if k, ok := v.net.Find(id); ok {
		return v.planned[k]
	}
	return nil
}

// between is the site's working minutes from a to b, or the real ones; negative
// where b comes first.
func (v *view) between(a, b time.Time, elapsed bool) int64 {
	from, to := worktime.FromTime(a), worktime.FromTime(b)
	if elapsed {
		return int64(to - from)
	}
	return v.site.Work(to) - v.site.Work(from)
}

// ahead is the end of so many working days after as of.
func (v *view) ahead(days int64) time.Time {
	at := v.site.First(v.site.Work(worktime.FromTime(v.asOf)) + days*v.day)
	if !at.Known() {
		return v.asOf.AddDate(0, 0, int(days))
	}
	return at.Time(v.zone)
}

func (v *view) add(a scheduler.Alert) { v.alerts = append(v.alerts, a) }

// key is an alert's kind and the names of what it concerns.
func key(kind scheduler.AlertKind, ids ...scheduler.ID) string {
	var b strings.Builder
	n := len(kind)
	for _, id := range ids {
		n += len(": ") + len(id)
	}
	b.Grow(n)
	b.WriteString(string(kind))
	for k, id := range ids {
		if k == 0 {
			b.WriteString(": ")
		} else {
			b.WriteString(", ")
		}
		b.WriteString(string(id))
	}
	return b.String()
}

// graver makes another key of an alert that has turned grave.
func graver(k string) string { return k + ", grave" }

// started says whether a step has begun, by what was recorded.
func started(s *scheduler.PlannedStep) bool {
	return s.State == scheduler.Underway || s.State == scheduler.Complete
}

func done(s *scheduler.PlannedStep) bool { return s.State == scheduler.Complete }

// within says whether a place is another one or lies in it.
func (v *view) within(place, around scheduler.ID) bool {
	for steps := 0; place != "" && steps <= len(v.places); steps++ {
		if place == around {
			return true
		}
		p := v.places[place]
		if p == nil {
			return false
		}
		place = p.Within
	}
	return false
}
