package planner

import (
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/worktime"
)

// mendedFrom is the number of steps from which a change is answered with the plan
// before mended and no more, as the service does it.
const mendedFrom = 60

// BenchmarkAgain changes jobs of 30 to 250 steps again and again, as people do: a task
// takes a day longer, a trade has a crew more, work is recorded as started, and all of
// that back again. Each change is planned from what the plan before left. It tells the
// processor time of such a planning, the bytes that a memory holds of the heap, those
// that it weighs, and the time where there is only a stored plan to go on from.
func BenchmarkAgain(b *testing.B) {
	var all []*changing
	for k := 0; k < 100; k += 5 {
		all = append(all, newChanging(b, randomjob.New(uint64(k+1), randomjob.Size{Steps: 30 + k*220/99})))
	}
	all = append(all, newChanging(b, demo(b)), newChanging(b, randomjob.New(34, randomjob.Size{Steps: 103})))
	rest := make([]byte, 100<<20) // what else a service holds: a small heap would be cleared all the time
	defer runtime.KeepAlive(rest)
	var from, mended, stored spent
	for b.Loop() {
		for _, c := range all {
			of := &from
			if len(c.memory.steps) >= mendedFrom {
				of = &mended
			}
			of.add(c.round(b, false))
			stored.add(c.round(b, true))
		}
	}
	b.ReportMetric(from.each(), "cpu-ms/small")
	b.ReportMetric(mended.each(), "cpu-ms/mended")
	b.ReportMetric((from.time+mended.time).Seconds()*1e3/float64(from.count+mended.count), "cpu-ms/replan")
	b.ReportMetric(stored.each(), "cpu-ms/stored")
	held, weight := 0, 0
	for _, c := range all {
		weight += c.memory.Weight()
		held += c.held()
	}
	b.ReportMetric(float64(held)/float64(len(all)), "B/memory")
	b.ReportMetric(float64(weight)/float64(len(all)), "weighed-B/memory")
}

// changing is a job that is changed again and again.
type changing struct {
	cycle  []*scheduler.Job // comes back to where it began
	memory *Memory
	plan   *scheduler.Plan
}

func newChanging(b *testing.B, job *scheduler.Job) *changing {
	b.Helper()
	c := &changing{}
	var err error
	if c.plan, c.memory, err = Replan(b.Context(), job, nil, Options{}); err != nil {
		b.Fatal(err)
	}
	var make [3]func(*scheduler.Job)
	for _, s := range c.plan.Steps {
		k := slices.IndexFunc(job.Tasks, func(t scheduler.Task) bool { return t.ID == s.ID })
		if k < 0 || s.State == scheduler.Complete {
			continue
		}
		if make[0] == nil && s.State != scheduler.Underway && job.Tasks[k].Takes.Amount > 1 {
			make[0] = func(j *scheduler.Job) {
				j.Tasks = slices.Clone(j.Tasks)
				j.Tasks[k].Takes.Amount++
			}
		}
		if make[2] == nil && s.State == scheduler.Ready && job.FindFact(s.ID) == nil {
			make[2] = func(j *scheduler.Job) {
				j.Facts = append(slices.Clone(j.Facts), scheduler.Fact{Step: s.ID, Started: &worktime.When{Day: dateOf(c.plan.AsOf)}})
			}
		}
		for t := range job.Trades {
			if make[1] == nil && slices.Contains(s.Trades, job.Trades[t].ID) {
				make[1] = func(j *scheduler.Job) {
					j.Trades = slices.Clone(j.Trades)
					j.Trades[t].Crews++
				}
			}
		}
	}
	c.fill(job, make[:])
	return c
}

// fill makes the changes one after the other, and undoes them in the same order.
func (c *changing) fill(job *scheduler.Job, make []func(*scheduler.Job)) {
	for step := 1; step <= 2*len(make); step++ {
		j := *job
		for k, change := range make {
			if change != nil && k < step && step <= k+len(make) {
				change(&j)
			}
		}
		if rules.Check(&j) == nil {
			c.cycle = append(c.cycle, &j)
		}
	}
}

// spent is processor time.
type spent struct {
	time  time.Duration
	count int
}

func (s *spent) add(o spent) { s.time, s.count = s.time+o.time, s.count+o.count }

func (s *spent) each() float64 { return s.time.Seconds() * 1e3 / float64(s.count) }

// round goes through the changes once.
func (c *changing) round(b *testing.B, stored bool) spent {
	b.Helper()
	runtime.GC()
	s := spent{count: len(c.cycle)}
	for _, job := range c.cycle {
		before := c.memory
		if stored {
			before = Recall(c.plan)
		}
		begun := processor()
		plan, memory, err := Replan(b.Context(), job, before, Options{Mend: len(c.memory.steps) >= mendedFrom})
		if err != nil {
			b.Fatal(err)
		}
		s.time += processor() - begun
		c.plan, c.memory = plan, memory
	}
	return s
}

// held is how much of the heap is given back when the memory goes.
func (c *changing) held() int {
	with := heap()
	runtime.KeepAlive(c.memory)
	c.memory = nil
	return with - heap()
}

func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
