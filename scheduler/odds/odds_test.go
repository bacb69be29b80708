package odds_test

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/odds"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

var begin = worktime.NewDate(2026, time.March, 2)

// elapsed is a job whose work runs in real time, so that a minute of it is one on the clock.
func elapsed(tasks ...scheduler.Task) *scheduler.Job {
	job := &scheduler.Job{ID: "tries", Title: "Tries", Zone: "UTC", Start: begin, Tasks: tasks}
	for d := range job.Week {
		job.Week[d] = []worktime.Period{{From: 0, To: 24 * 60}}
	}
	return job
}

func minutes(n int) worktime.Span {
	return worktime.Span{Amount: int32(n), Unit: worktime.ElapsedMinutes}
}

// points is a task of a three-point estimate, in minutes.
func points(id scheduler.ID, best, usual, worst int) scheduler.Task {
	return scheduler.Task{
		ID: id, Title: "Task " + string(id), Work: scheduler.Work{Takes: minutes(usual), Crews: 1},
		Spread: scheduler.Spread{Best: minutes(best), Worst: minutes(worst)},
	}
}

func after(job *scheduler.Job, to scheduler.ID, from ...scheduler.ID) {
	for _, f := range from {
		job.Waits = append(job.Waits, scheduler.Wait{From: scheduler.Point{Step: f, End: scheduler.Finish}, To: scheduler.Point{Step: to}})
	}
}

// of plans a job, has the checker look at the plan, and tries it.
func of(t *testing.T, job *scheduler.Job) (*scheduler.Plan, *odds.Odds, error) {
	t.Helper()
	job.Canonical()
	net, err := expand.Expand(job)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Plan(t.Context(), job, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if broken := verify.Plan(job, plan); len(broken) > 0 {
		t.Fatalf("the plan breaks %v", broken[0])
	}
	o, err := odds.Of(net, plan)
	return plan, o, err
}

func must(t *testing.T, job *scheduler.Job) (*scheduler.Plan, *odds.Odds) {
	t.Helper()
	plan, o, err := of(t, job)
	if err != nil {
		t.Fatal(err)
	}
	return plan, o
}

// TestPublishedThreePointProject is the project of ten activities in Anderson, Sweeney,
// Williams, Wisniewski, Pearson, An Introduction to Management Science, ch. 9, whose
// three-point estimates, expected 17 weeks and odds of some 0.96 to end within 20 are
// from memory. The book adds up the critical path alone, which is sure to be sooner than
// the whole: so the tries must end later on the average, and within 20 weeks less often,
// but not by much. A week is 10 080 minutes.
func TestPublishedThreePointProject(t *testing.T) {
	const week = 10080
	estimate := func(id scheduler.ID, best, usual, worst float64) scheduler.Task {
		return points(id, int(best*week), int(usual*week), int(worst*week))
	}
	job := elapsed(
		estimate("a", 4, 5, 12), estimate("b", 1, 1.5, 5), estimate("c", 2, 3, 4), estimate("d", 3, 4, 11), estimate("e", 2, 3, 4),
		estimate("f", 1.5, 2, 2.5), estimate("g", 1.5, 3, 4.5), estimate("h", 2.5, 3.5, 7.5), estimate("i", 1.5, 2, 2.5), estimate("j", 1, 2, 3),
	)
	after(job, "c", "a")
	after(job, "d", "a")
	after(job, "e", "a")
	after(job, "f", "c")
	after(job, "g", "d")
	after(job, "h", "b", "e")
	after(job, "i", "h")
	after(job, "j", "f", "g", "i")
	plan, o := must(t, job)
	mean := 0.0
	for _, at := range o.Finish {
		mean += at.Sub(plan.AsOf).Hours() / (24 * 7) / float64(o.Tries)
	}
	within := float64(o.Done(plan.AsOf.Add(20*7*24*time.Hour))) / float64(o.Tries)
	if mean < 17 || mean > 17.8 || within > 0.97 || within < 0.90 {
		t.Errorf("on the average %.2f weeks, within 20 in %.3f of %d tries", mean, within, o.Tries)
	}
	if o.Unsure != 10 || o.Sways[0].Step != "a" || o.Sways[0].Share < 0.3 {
		t.Errorf("%d unsure; the finish goes by %v", o.Unsure, o.Sways)
	}
}

// TestTwoSideBySide: where both of two must be done, the odds of a day are those of the one
// times those of the other, and of a crew that both need, those of the sum.
func TestTwoSideBySide(t *testing.T) {
	job := elapsed(points("a", 1000, 2000, 6000), points("b", 1000, 2000, 6000))
	_, alone := must(t, elapsed(points("a", 1000, 2000, 6000)))
	plan, both := must(t, job)
	by := plan.AsOf.Add(3000 * time.Minute)
	one := float64(alone.Done(by)) / float64(alone.Tries)
	two := float64(both.Done(by)) / float64(both.Tries)
	if one < 0.5 || one > 0.9 || math.Abs(two-one*one) > 0.05 {
		t.Errorf("one is done by then in %.3f of tries, both in %.3f", one, two)
	}
	job.Trades = []scheduler.Trade{{ID: "gang", Title: "Gang", Crews: 1}}
	for k := range job.Tasks {
		job.Tasks[k].Trades = []scheduler.ID{"gang"}
	}
	plan, shared := must(t, job)
	mean := 0.0
	for _, at := range shared.Finish {
		mean += at.Sub(plan.AsOf).Minutes() / float64(shared.Tries)
	}
	if want := 2.0 * (1000 + 4*2000 + 6000) / 6; math.Abs(mean-want) > 100 {
		t.Errorf("one after the other they take %.0f minutes, want %.0f", mean, want)
	}
}

// TestDuesAndStarts: a due day is kept in so many tries as the work is done by then, and
// what follows starts when it is.
func TestDuesAndStarts(t *testing.T) {
	job := elapsed(points("a", 1000, 4000, 9000), points("b", 10, 10, 10))
	after(job, "b", "a")
	job.Dues = []scheduler.Due{{ID: "due", Title: "Due", Step: "b", On: begin + 2}}
	plan, o := must(t, job)
	if o.Unsure != 1 || len(o.Dues) != 1 || o.Dues[0].Kept != o.Done(o.Dues[0].By) || o.Dues[0].Kept < o.Tries/4 || o.Dues[0].Kept > o.Tries*3/4 {
		t.Errorf("%d unsure, %+v of %d; done by then: %d", o.Unsure, o.Dues, o.Tries, o.Done(o.Dues[0].By))
	}
	b := o.Starts["b"]
	if b.Half.Add(10*time.Minute) != o.FinishBy(0.5) || b.Nine.Add(10*time.Minute) != o.FinishBy(0.9) || !b.Half.Before(b.Nine) {
		t.Errorf("b starts %v, the finish is %v and %v", b, o.FinishBy(0.5), o.FinishBy(0.9))
	}
	if !o.Starts["a"].Nine.Equal(plan.AsOf) || !slices.IsSortedFunc(o.Finish, time.Time.Compare) {
		t.Errorf("a starts %v; sorted: %v", o.Starts["a"], o.Finish[:3])
	}
}

// TestWhatIsBegunAndDone: of begun work only what is left varies, of done work nothing.
func TestWhatIsBegunAndDone(t *testing.T) {
	job := elapsed(points("a", 1000, 2000, 6000), points("b", 1000, 2000, 6000))
	after(job, "b", "a")
	day := begin + 30
	left := minutes(200)
	job.AsOf = &day
	job.Facts = []scheduler.Fact{
		{Step: "a", Started: &worktime.When{Day: begin}, Done: &worktime.When{Day: begin + 3}},
		{Step: "b", Started: &worktime.When{Day: begin + 4}, Remaining: &left},
	}
	plan, o := must(t, job)
	least, most := o.Finish[0].Sub(plan.AsOf).Minutes(), o.Finish[o.Tries-1].Sub(plan.AsOf).Minutes()
	if o.Unsure != 1 || least < 100 || least > 150 || most < 350 || most > 600 || len(o.Starts) != 0 {
		t.Errorf("%d unsure, from %v to %v minutes, starts of %d", o.Unsure, least, most, len(o.Starts))
	}
}

// TestRandomJobsWithoutSpread: where nothing varies, the one try ends when the plan does,
// and no step starts later than planned.
func TestRandomJobsWithoutSpread(t *testing.T) {
	tried := 0
	for seed := range uint64(80) {
		job := randomjob.New(seed, randomjob.Size{Steps: 10 + int(seed)%40, Without: randomjob.Spreads})
		plan, o, err := of(t, job)
		if errors.Is(err, odds.ErrUnsettled) && len(plan.Contradictions) > 0 {
			continue
		}
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		tried++
		if o.Tries != 1 || o.Unsure != 0 || len(o.Sways) != 0 || !o.Finish[0].Equal(plan.Finish) {
			t.Errorf("seed %d: %d tries end %v, the plan %v", seed, o.Tries, o.Finish[0], plan.Finish)
		}
		for id, s := range o.Starts {
			if planned := plan.FindStep(id).Start; s.Half.After(planned) {
				t.Errorf("seed %d: %s starts %v, planned for %v", seed, id, s.Half, planned)
			}
		}
	}
	if tried < 40 {
		t.Errorf("only %d jobs tried", tried)
	}
}

// TestRandomJobsWithSpread: the same plan has the same odds, and no try ends before the
// best or after the worst of everything.
func TestRandomJobsWithSpread(t *testing.T) {
	varied := 0
	for seed := range uint64(25) {
		job := randomjob.New(seed, randomjob.Size{Steps: 15, Without: randomjob.Facts})
		_, o, err := of(t, job)
		if err != nil {
			continue
		}
		if _, again := must(t, job); cmp.Diff(o, again) != "" {
			t.Errorf("seed %d: not the same again", seed)
		}
		if o.FinishBy(0.9).After(o.FinishBy(0.5)) {
			varied++
		}
		if o.FinishBy(0.5).After(o.FinishBy(0.9)) || o.Done(o.Finish[o.Tries-1]) != o.Tries || o.Done(o.Finish[0].Add(-time.Minute)) != 0 {
			t.Errorf("seed %d: %v", seed, o.Finish)
		}
	}
	if varied < 5 {
		t.Errorf("the finish of %d jobs varies", varied)
	}
}

// TestUnsettled: a plan that sets something aside has no order of work to try.
func TestUnsettled(t *testing.T) {
	job := elapsed(points("a", 1, 2, 3), points("b", 1, 2, 3))
	after(job, "b", "a")
	after(job, "a", "b")
	if _, _, err := of(t, job); !errors.Is(err, odds.ErrUnsettled) {
		t.Errorf("%v", err)
	}
}
