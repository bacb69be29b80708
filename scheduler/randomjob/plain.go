package randomjob

import (
	"math/rand/v2"
	"strconv"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Ends is which ends the waits of a network join.
type Ends uint8

const (
	// FinishToStart joins only finishes to starts, without a most time, and always
	// has a solution.
	FinishToStart Ends = iota
	// AllFour joins either end to either end; a tenth of the waits have a most
	// time, and some networks have no solution.
	AllFour
)

// Plain is a large network over calendars: ten trades with weeks and days off of
// their own and crews enough, waits of all four kinds without a most time, one
// due day, no facts. It costs well under a second for 100,000 steps and 250,000 waits.
func Plain(seed uint64, steps, waits int) *scheduler.Job {
	g := &maker{rng: rand.New(rand.NewPCG(seed, uint64(steps))), job: &scheduler.Job{}, named: map[scheduler.ID][]int{}}
	j := g.job
	j.ID, j.Title, j.Zone = "plain", "A large random job, invented", "Europe/Vienna"
	j.Start = worktime.NewDate(2026, time.March, 2)
	j.Week = *g.week()
	j.Day = span(8, worktime.Hours)
	for k := range 10 {
		t := g.trade(k)
		t.Crews = max(steps, 1)
		t.Notice = worktime.Span{}
		j.Trades = append(j.Trades, t)
	}
	j.Tasks = make([]scheduler.Task, steps)
	for k := range j.Tasks {
		trade := g.rng.IntN(10)
		j.Tasks[k] = plainTask(k, span(g.between(1, 40), worktime.Hours))
		j.Tasks[k].Trades = []scheduler.ID{j.Trades[trade].ID}
	}
	// Waits reach at most 2,000 steps back, so that the network is deep as a job is, not a fan.
	j.Waits = make([]scheduler.Wait, 0, waits)
	taken := make(map[[2]scheduler.Point]bool, waits)
	for len(j.Waits) < min(waits, most(steps)) {
		w := plainWait(g, j.Tasks, 2000)
		if g.chance(25) {
			w.From.End, w.To.End = scheduler.End(g.rng.IntN(2)), scheduler.End(g.rng.IntN(2))
		}
		if g.chance(20) {
			w.Least = span(g.between(1, 48), worktime.ElapsedHours)
		}
		if pair := [2]scheduler.Point{w.From, w.To}; !taken[pair] {
			taken[pair] = true
			j.Waits = append(j.Waits, w)
		}
	}
	if steps > 0 {
		j.Dues = []scheduler.Due{{ID: "end", Title: "The end", Step: j.Tasks[steps-1].ID, On: j.Start + 365}}
	}
	return j
}

// Large is a plain network with two and a half times as many waits as steps, whose ten
// trades have 20 crews each. If places are wanted, each step is in one of them, and
// they have room for 6.
func Large(steps, places int) *scheduler.Job {
	const crews, room = 20, 6
	job := Plain(1, steps, steps*5/2)
	for k := range job.Trades {
		job.Trades[k].Crews = crews
	}
	for k := range places {
		n := strconv.Itoa(k + 1)
		job.Places = append(job.Places, scheduler.Place{ID: scheduler.ID("part-" + n), Title: "Part " + n, Room: room})
	}
	for k := range job.Tasks {
		if places > 0 {
			job.Tasks[k].Places = []scheduler.ID{job.Places[k*79%places].ID}
		}
	}
	return job
}

// Continuous is a network in real time: the week works day and night in UTC, all
// lengths are minutes, there are no limits, facts or dues. Outside oracles for
// longest paths and linear programs can be held against it.
func Continuous(seed uint64, steps, waits int, ends Ends) *scheduler.Job {
	g := &maker{rng: rand.New(rand.NewPCG(seed, uint64(steps))), job: &scheduler.Job{}}
	j := g.job
	j.ID, j.Title, j.Zone = "continuous", "A random job in real time, invented", "UTC"
	j.Start = worktime.NewDate(2026, time.January, 1)
	for day := range j.Week {
		j.Week[day] = []worktime.Period{{From: 0, To: 24 * 60}}
	}
	j.Tasks = make([]scheduler.Task, steps)
	for k := range j.Tasks {
		j.Tasks[k] = plainTask(k, span(g.between(1, 200), worktime.Minutes))
	}
	taken := make(map[[2]scheduler.Point]bool, waits)
	for len(j.Waits) < min(waits, most(steps)) {
		w := plainWait(g, j.Tasks, steps)
		if ends == AllFour {
			w.From.End, w.To.End = scheduler.End(g.rng.IntN(2)), scheduler.End(g.rng.IntN(2))
			w.Least = span(g.rng.IntN(100), worktime.Minutes)
			if g.chance(10) {
				upTo := w.Least
				upTo.Amount += int32(g.rng.IntN(600))
				w.Most = &upTo
			}
		}
		if pair := [2]scheduler.Point{w.From, w.To}; !taken[pair] {
			taken[pair] = true
			j.Waits = append(j.Waits, w)
		}
	}
	return j
}

// most is how many pairs of steps can be drawn quickly: half of those there are.
func most(steps int) int { return steps * (steps - 1) / 4 }

func plainTask(k int, takes worktime.Span) scheduler.Task {
	id := scheduler.ID("s" + strconv.Itoa(k+1))
	return scheduler.Task{ID: id, Title: "Step " + strconv.Itoa(k+1), Work: scheduler.Work{Crews: 1, Takes: takes}}
}

// plainWait leads from one task to a later one, at most reach further on.
func plainWait(g *maker, tasks []scheduler.Task, reach int) scheduler.Wait {
	to := 1 + g.rng.IntN(len(tasks)-1)
	from := to - 1 - g.rng.IntN(min(to, reach))
	return scheduler.Wait{
		From:   scheduler.Point{Step: tasks[from].ID, End: scheduler.Finish},
		To:     scheduler.Point{Step: tasks[to].ID, End: scheduler.Start},
		Least:  span(g.rng.IntN(30), worktime.Minutes),
		Reason: scheduler.Sense,
	}
}
