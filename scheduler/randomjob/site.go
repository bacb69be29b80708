package randomjob

import (
	"strconv"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// zones have their clock changes on different days, one in the southern half.
var zones = []string{"Europe/Vienna", "America/New_York", "Australia/Sydney", "UTC"}

func clock(hour, minute int) worktime.Clock { return worktime.Clock(hour*60 + minute) }

// week works on the given days. Any two weeks drawn here overlap on Tuesdays and
// Wednesdays from 10:00 to 11:30, so that every step can be done at some time.
func (g *maker) week() *worktime.Week {
	day := pick(g, [][]worktime.Period{
		{{From: clock(7, 30), To: clock(12, 0)}, {From: clock(12, 30), To: clock(16, 0)}},
		{{From: clock(8, 0), To: clock(12, 0)}, {From: clock(13, 0), To: clock(17, 0)}},
		{{From: clock(6, 0), To: clock(11, 30)}},
		{{From: clock(10, 0), To: clock(18, 15)}},
	})
	w := &worktime.Week{time.Tuesday: day, time.Wednesday: day}
	for d, percent := range [7]int{time.Sunday: 10, time.Monday: 80, time.Thursday: 80, time.Friday: 70, time.Saturday: 20} {
		if g.chance(percent) {
			w[d] = day
		}
	}
	if w[time.Friday] != nil && g.chance(20) {
		w[time.Friday] = []worktime.Period{{From: clock(8, 0), To: clock(11, 45)}}
	}
	return w
}

func (g *maker) ownWeek() *worktime.Week {
	if g.has(OwnWeeks) && g.chance(25) {
		return g.week()
	}
	return nil
}

// off is up to n closures after the job's start.
func (g *maker) off(n int) []scheduler.Closure {
	if !g.has(DaysOff) {
		return nil
	}
	var out []scheduler.Closure
	for range g.rng.IntN(n + 1) {
		from := g.job.Start + worktime.Date(g.rng.IntN(60))
		if k := len(out); k > 0 {
			from = out[k-1].To + worktime.Date(g.between(2, 30))
		}
		out = append(out, scheduler.Closure{From: from, To: from + worktime.Date(g.rng.IntN(5)), Why: "shut for a while"})
	}
	return out
}

// site draws the frame of the job: zone, week, people, trades, gear and places.
func (g *maker) site() {
	j := g.job
	j.ID, j.Title = "random", "A random job, invented"
	j.Zone = pick(g, zones)
	j.Start = worktime.NewDate(2026, time.January, 1) + worktime.Date(g.rng.IntN(365))
	j.Week = *g.week()
	if g.chance(50) {
		j.Day = span(g.between(6, 9), worktime.Hours)
	}
	j.Closures = g.off(3)
	for _, r := range scheduler.Roles {
		id := scheduler.ID("person-" + string(r[:3]))
		j.People = append(j.People, scheduler.Person{ID: id, Name: "The " + string(r), Role: r})
	}
	for k := range g.between(2, 3+g.size.Steps/20) {
		j.Trades = append(j.Trades, g.trade(k))
	}
	j.People[3].Trade = j.Trades[0].ID // the person of role trade
	if g.has(GearUse) {
		for k := range g.between(1, 2) {
			j.Gear = append(j.Gear, scheduler.Gear{ID: name("gear", k), Title: "Gear", Count: g.between(1, 2)})
		}
	}
	g.places()
}

func name(kind string, k int) scheduler.ID { return scheduler.ID(kind + "-" + strconv.Itoa(k+1)) }

func (g *maker) trade(k int) scheduler.Trade {
	t := scheduler.Trade{
		ID: name("trade", k), Title: "Trade " + strconv.Itoa(k+1), Short: "T" + strconv.Itoa(k+1),
		Crews: g.between(1, 2), Week: g.ownWeek(), Off: g.off(2),
	}
	if !g.has(Crews) {
		t.Crews = 1000
	}
	if g.has(Notices) {
		t.Notice = span(g.rng.IntN(8), worktime.Days)
	}
	return t
}

// places is a tree three deep: the site, its parts, their rooms.
func (g *maker) places() {
	g.place("site", "")
	for k := range g.between(1, 2+g.size.Steps/40) {
		part := name("part", k)
		g.place(part, "site")
		for r := range g.between(1, 4) {
			g.place(name(string(part)+"-room", r), part)
		}
	}
}

func (g *maker) place(id, within scheduler.ID) {
	p := scheduler.Place{ID: id, Title: "Place " + string(id), Within: within}
	if g.has(Room) && within != "" && g.chance(50) {
		p.Room = g.between(1, 3)
	}
	if within != "" && g.chance(30) {
		p.Week = g.ownWeek()
		p.Closures = g.off(1)
	}
	g.job.Places = append(g.job.Places, p)
}
