package published_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// inInstances is the features of a job that an instance can have too.
const inInstances = randomjob.Crews | randomjob.Room | randomjob.Alone | randomjob.GearUse |
	randomjob.AllEnds | randomjob.Mosts | randomjob.Elapsed

// TestPlainJobsAgainstMinizinc plans random jobs on which work goes on day and night,
// and holds the finish, or the word that not all that is said can be kept, against the
// general solver, which gets each job as an instance.
func TestPlainJobsAgainstMinizinc(t *testing.T) {
	needMinizinc(t)
	t.Parallel()
	const jobs = 40
	var claims []claim
	without, scarce := 0, 0
	for seed := range uint64(jobs) {
		size := randomjob.Size{Steps: 6 + int(seed%6), Tight: 100, Without: randomjob.Only(inInstances)}
		job := written(t, dayAndNight(randomjob.New(seed, size)))
		plan := planOf(t, job)
		in, unit := instanceOf(job)
		in.Name = fmt.Sprintf("job %d", seed)
		c := claim{in, int64(plan.Finish.Sub(plan.AsOf)/time.Minute) / unit}
		switch {
		case len(plan.Contradictions) > 0:
			c.end = none
			without++
		case !plan.Proven:
			t.Errorf("seed %d: the plan is not proven", seed)
		case plan.Finish.After(plan.EarliestFinish):
			scarce++
		}
		claims = append(claims, c)
	}
	if without < jobs/10 || scarce < jobs/5 {
		t.Errorf("of %d jobs %d contradict themselves and limits make %d longer: they do not ask enough", jobs, without, scarce)
	}
	t.Logf("%d jobs: %d contradict themselves, limits make %d longer", jobs, without, scarce)
	if n := holdClaims(t, claims, 1); n > jobs/8 {
		t.Errorf("%d of %d are not answered", n, jobs)
	}
}

// dayAndNight lets everybody on a job work all the time; "1 day" stays as long as it was.
func dayAndNight(job *scheduler.Job) *scheduler.Job {
	job.Day = worktime.Span{Amount: int32(job.DayMinutes()), Unit: worktime.Minutes}
	job.Zone, job.Closures = "UTC", nil
	for day := range job.Week {
		job.Week[day] = []worktime.Period{{From: 0, To: 24 * 60}}
	}
	return job
}

// instanceOf is a job of nothing but tasks, waits, crews, room, gear and tasks that are
// alone in their places as an instance, and how many minutes its unit of time has.
func instanceOf(job *scheduler.Job) (in *instance.Problem, unit int64) {
	n := len(job.Tasks)
	in = &instance.Problem{Length: make([]int64, n+2)}
	node := map[scheduler.ID]int{}
	for k := range job.Tasks {
		i := k + 1
		node[job.Tasks[k].ID] = i
		in.Length[i] = job.Minutes(job.Tasks[k].Takes)
		in.Lags = append(in.Lags, instance.Lag{From: 0, To: i}, instance.Lag{From: i, To: n + 1, Least: in.Length[i]})
	}
	offset := func(p scheduler.Point) int64 {
		if p.End == scheduler.Start {
			return 0
		}
		return in.Length[node[p.Step]]
	}
	for _, w := range job.Waits {
		from, to, shift := node[w.From.Step], node[w.To.Step], offset(w.From)-offset(w.To)
		in.Lags = append(in.Lags, instance.Lag{From: from, To: to, Least: job.Minutes(w.Least) + shift})
		if w.Most != nil {
			in.Lags = append(in.Lags, instance.Lag{From: to, To: from, Least: -job.Minutes(*w.Most) - shift})
		}
	}
	addLimits(in, job)
	return in, shorten(in)
}

// addLimits adds the limits of a job, each with what every task takes of it.
func addLimits(in *instance.Problem, job *scheduler.Job) {
	limit := func(size int, use func(*scheduler.Task) int) {
		uses := make([]int64, len(in.Length))
		for k := range job.Tasks {
			if in.Length[k+1] > 0 {
				uses[k+1] = int64(use(&job.Tasks[k]))
			}
		}
		in.Size, in.Use = append(in.Size, int64(size)), append(in.Use, uses)
	}
	has := func(is bool) int {
		if is {
			return 1
		}
		return 0
	}
	for k := range job.Trades {
		t := &job.Trades[k]
		limit(t.Crews, func(task *scheduler.Task) int { return has(slices.Contains(task.Trades, t.ID)) * max(task.Crews, 1) })
	}
	for k := range job.Gear {
		g := &job.Gear[k]
		limit(g.Count, func(task *scheduler.Task) int { return has(slices.Contains(task.Gear, g.ID)) })
	}
	around := placesAround(job)
	for k := range job.Places {
		if p := &job.Places[k]; p.Room > 0 {
			limit(p.Room, func(task *scheduler.Task) int {
				return has(slices.ContainsFunc(task.Places, func(at scheduler.ID) bool { return slices.Contains(around[at], p.ID) }))
			})
		}
	}
	for a := range job.Tasks {
		for b := range job.Tasks {
			first, second := &job.Tasks[a], &job.Tasks[b]
			if a != b && first.Alone && meet(around, first.Places, second.Places) {
				limit(1, func(task *scheduler.Task) int { return has(task == first || task == second) })
			}
		}
	}
}

// placesAround is each place with all places around it.
func placesAround(job *scheduler.Job) map[scheduler.ID][]scheduler.ID {
	within := map[scheduler.ID]scheduler.ID{}
	for k := range job.Places {
		within[job.Places[k].ID] = job.Places[k].Within
	}
	around := map[scheduler.ID][]scheduler.ID{}
	for id := range within {
		for at := id; at != ""; at = within[at] {
			around[id] = append(around[id], at)
		}
	}
	return around
}

// meet says whether one of some places is, or is in or around, one of others.
func meet(around map[scheduler.ID][]scheduler.ID, some, others []scheduler.ID) bool {
	for _, p := range some {
		for _, q := range others {
			if slices.Contains(around[p], q) || slices.Contains(around[q], p) {
				return true
			}
		}
	}
	return false
}

// shorten makes the unit of time as long as all times allow, and returns its minutes.
func shorten(in *instance.Problem) int64 {
	unit := int64(0)
	divide := func(v int64) {
		for v = max(v, -v); v != 0; {
			unit, v = v, unit%v
		}
	}
	for _, d := range in.Length {
		divide(d)
	}
	for _, l := range in.Lags {
		divide(l.Least)
	}
	unit = max(unit, 1)
	for i := range in.Length {
		in.Length[i] /= unit
	}
	for k := range in.Lags {
		in.Lags[k].Least /= unit
	}
	return unit
}
