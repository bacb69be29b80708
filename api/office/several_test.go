package office_test

import (
	"context"
	"errors"
	"os"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// several is a database over which several offices work.
type several struct {
	t       *testing.T
	address string
	pool    *pgxpool.Pool
}

func newSeveral(t *testing.T, job scheduler.Job) *several {
	t.Helper()
	t.Parallel()
	s := &several{t: t, address: dbtest.Address(t)}
	var err error
	if s.pool, err = pgxpool.New(t.Context(), s.address); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.pool.Close)
	if _, err := s.store().Put(t.Context(), &job, db.By("load")); err != nil {
		t.Fatal(err)
	}
	return s
}

func (s *several) store() *db.Store {
	s.t.Helper()
	store, err := db.Open(s.t.Context(), s.address, clock)
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(store.Close)
	return store
}

// open opens one more office, with a store of its own as in a process of its own.
func (s *several) open(p office.Planner) *office.Office {
	s.t.Helper()
	heavy := db.Heavy{Quiet: -time.Second /* the clock stands still */, Look: 20 * time.Millisecond, Rounds: 2}
	o := office.New(s.store(), clock, zerolog.Nop(), office.WithPlanner(p), office.WithHeavy(heavy))
	s.t.Cleanup(o.Close)
	return o
}

// runs has an office do something until the test, or stop, ends it.
func (s *several) runs(do func(context.Context) error) (stop func()) {
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		if err := do(ctx); !errors.Is(err, context.Canceled) {
			s.t.Errorf("ended with %v", err)
		}
	}()
	stop = sync.OnceFunc(func() { cancel(); <-ended })
	s.t.Cleanup(stop)
	return stop
}

// cut ends the connections that hold locks.
func (s *several) cut() {
	s.t.Helper()
	_, err := s.pool.Exec(s.t.Context(), `SELECT pg_terminate_backend(l.pid) FROM pg_locks l JOIN pg_database d ON d.oid = l.database
		WHERE l.locktype = 'advisory' AND d.datname = current_database() AND l.pid <> pg_backend_pid()`)
	if err != nil {
		s.t.Fatal(err)
	}
}

// until waits for something to become so.
func until(t *testing.T, what string, so func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); !so(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("within a minute not: %s", what)
		}
	}
}

// asked is a sheet that somebody waits for.
func asked(o *office.Office) <-chan *office.Sheet {
	answer := make(chan *office.Sheet, 1)
	go func() {
		s, err := o.Sheet(context.Background(), "shed", nil)
		if err != nil {
			s = nil
		}
		answer <- s
	}()
	return answer
}

func TestOnePlanOverAllInstances(t *testing.T) {
	s := newSeveral(t, shed)
	var n atomic.Int64
	begun, release := make(chan struct{}, 10), make(chan struct{})
	plan := func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		begun <- struct{}{}
		<-release
		return counted(&n)(ctx, j, asOf)
	}
	var answers []<-chan *office.Sheet
	for range 3 {
		o := s.open(plan)
		answers = append(answers, asked(o), asked(o))
	}
	<-begun
	time.Sleep(2 * time.Second / 4) // the others ask again whether it is being made still
	close(release)
	for _, answer := range answers {
		if got := <-answer; got == nil || got.Revision != 1 || got.Take != 1 || got.Plan.Title != "Shed as of 2026-06-02" {
			t.Fatalf("got %+v", got)
		}
	}
	if n.Load() != 1 {
		t.Errorf("planned %d times", n.Load())
	}
}

// TestAnotherOneTakesOver kills what the planning instance holds in the database, as
// its death does: another one makes the plan, and that is the plan for both.
func TestAnotherOneTakesOver(t *testing.T) {
	s := newSeveral(t, shed)
	var n, m atomic.Int64
	begun, release := make(chan struct{}), make(chan struct{})
	slow := s.open(func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		close(begun)
		<-release
		p, err := counted(&n)(ctx, j, asOf)
		p.Title = "too late"
		return p, err
	})
	first := asked(slow)
	<-begun
	second := asked(s.open(counted(&m)))
	time.Sleep(50 * time.Millisecond)
	if m.Load() != 0 {
		t.Error("two plan the same")
	}
	s.cut()
	if got := <-second; got == nil || m.Load() != 1 {
		t.Fatalf("nobody took over: %+v", got)
	}
	close(release)
	if got := <-first; got == nil || got.Plan.Title != "Shed as of 2026-06-02" {
		t.Errorf("who lost its claim shows %+v", got)
	}
}

// TestNewerOvertakesOlder: a change made elsewhere ends the planning of the revision
// before, and who waits for that gets the new one.
func TestNewerOvertakesOlder(t *testing.T) {
	s := newSeveral(t, shed)
	var n atomic.Int64
	begun := make(chan struct{}, 1)
	o := s.open(func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if j.Title == "Shed" {
			begun <- struct{}{}
			<-ctx.Done()
			return nil, ctx.Err()
		}
		return counted(&n)(ctx, j, asOf)
	})
	s.runs(o.Listen)
	answer := asked(o)
	<-begun
	other := s.open(counted(&n))
	rename := func(j *scheduler.Job) error { j.Title = "Big shed"; return nil }
	if _, err := other.Commit(t.Context(), "shed", db.By("elsewhere"), rename); err != nil {
		t.Fatal(err)
	}
	if got := <-answer; got == nil || got.Revision != 2 {
		t.Fatalf("who waited got %+v", got)
	}
	if n.Load() != 1 {
		t.Errorf("the newest was planned %d times", n.Load())
	}
}

// TestAJobThatChangesAllTheTimeGetsPlans: plannings are not broken off for ever.
func TestAJobThatChangesAllTheTimeGetsPlans(t *testing.T) {
	s := newSeveral(t, shed)
	var n, broken atomic.Int64
	o := s.open(func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		takes := 100 * time.Millisecond
		if broken.Load() == 0 {
			takes = time.Minute // until a change comes, however slow the disk is
		}
		select {
		case <-ctx.Done():
			broken.Add(1)
			return nil, ctx.Err()
		case <-time.After(takes):
			return counted(&n)(ctx, j, asOf)
		}
	})
	stop := make(chan struct{})
	var writing sync.WaitGroup
	writing.Go(func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(5 * time.Millisecond):
				_, err := o.Commit(t.Context(), "shed", db.By("kim"), extend)
				if err != nil {
					t.Error(err)
				}
			}
		}
	})
	last := int64(0)
	for range 5 {
		got := <-asked(o)
		if got == nil || got.Revision < last {
			t.Fatalf("after revision %d came %+v", last, got)
		}
		last = got.Revision
	}
	close(stop)
	writing.Wait()
	if broken.Load() == 0 {
		t.Error("no planning was ever broken off")
	}
	if broken.Load() > n.Load()+2 {
		t.Errorf("%d plannings were broken off and %d came to their end", broken.Load(), n.Load())
	}
}

// TestReadsFollowWritesElsewhere reads at one instance what was just written at another,
// which it has not heard of.
func TestReadsFollowWritesElsewhere(t *testing.T) {
	s := newSeveral(t, shed)
	var n atomic.Int64
	one, two := s.open(counted(&n)), s.open(counted(&n))
	for range 10 {
		revision := commit(t, one)
		if _, got, err := two.Job(t.Context(), "shed"); err != nil || got < revision {
			t.Fatalf("read revision %d after %d was acknowledged (%v)", got, revision, err)
		}
		if got := <-asked(two); got == nil || got.Revision < revision {
			t.Fatalf("planned %+v after revision %d was acknowledged", got, revision)
		}
	}
}

// TestABetterPlanIsFoundAndTold: one long search over three instances, whose plan takes
// the place of the quick one everywhere.
func TestABetterPlanIsFoundAndTold(t *testing.T) {
	s := newSeveral(t, shed)
	var quick, searched atomic.Int64
	finish := time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC)
	plan := func(_ context.Context, j *scheduler.Job, _ worktime.Date) (*scheduler.Plan, error) {
		p := &scheduler.Plan{Engine: planner.Engine, Job: j.ID, Finish: finish, Bound: finish.AddDate(0, -1, 0)}
		if quick.Add(1) > 1 {
			searched.Add(1)
			p.Finish, p.Bound, p.Proven = finish.AddDate(0, 0, -7), finish.AddDate(0, 0, -7), true
		}
		return p, nil
	}
	offices := []*office.Office{s.open(plan), s.open(plan), s.open(plan)}
	if got := <-asked(offices[0]); got == nil || got.Plan.Proven {
		t.Fatalf("the quick plan is %+v", got)
	}
	if got := <-asked(offices[1]); got == nil || got.Take != 1 {
		t.Fatalf("the quick plan is %+v", got)
	}
	watch := offices[1].Subscribe("shed")
	defer watch.Stop()
	s.runs(offices[1].Listen)
	for _, o := range offices {
		s.runs(o.Work)
	}
	until(t, "a better plan is told elsewhere", func() bool {
		_, _, plans := watch.Take()
		return len(plans) > 0 && plans[len(plans)-1].Take == 2 && plans[len(plans)-1].Proven
	})
	for k, o := range offices {
		if got := <-asked(o); got == nil || got.Take != 2 || !got.Plan.Finish.Equal(finish.AddDate(0, 0, -7)) {
			t.Errorf("office %d shows %+v", k, got)
		}
	}
	until(t, "the search is done", func() bool {
		found, err := offices[2].Searches(t.Context(), "shed", 10)
		return err == nil && len(found) == 1 && found[0].State == db.SearchDone && found[0].Proven
	})
	if searched.Load() != 1 {
		t.Errorf("searched %d rounds, though the first one brought a proof", searched.Load())
	}
}

// TestASearchOutlivesItsOffice closes the office that searches: another one goes on.
func TestASearchOutlivesItsOffice(t *testing.T) {
	s := newSeveral(t, shed)
	finish := time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC)
	result := func(j *scheduler.Job, days int) *scheduler.Plan {
		return &scheduler.Plan{Engine: planner.Engine, Job: j.ID, Finish: finish.AddDate(0, 0, days), Bound: finish.AddDate(0, -1, 0)}
	}
	var n atomic.Int64
	begun := make(chan struct{}, 1)
	first := s.open(func(ctx context.Context, j *scheduler.Job, _ worktime.Date) (*scheduler.Plan, error) {
		if n.Add(1) == 1 {
			return result(j, 0), nil
		}
		begun <- struct{}{}
		<-ctx.Done()
		return nil, ctx.Err()
	})
	if got := <-asked(first); got == nil {
		t.Fatal("no plan")
	}
	stop := s.runs(first.Work)
	<-begun
	stop()
	first.Close()
	second := s.open(func(_ context.Context, j *scheduler.Job, _ worktime.Date) (*scheduler.Plan, error) {
		return result(j, -1), nil
	})
	s.runs(second.Work)
	until(t, "the search goes on elsewhere", func() bool {
		got := <-asked(second)
		return got != nil && got.Take == 2
	})
}

// TestWhatASearchFindsIsSound searches on for a plan of the demo house that was made
// with hardly any effort, and has what it finds checked.
func TestWhatASearchFindsIsSound(t *testing.T) {
	const file = "../../testdata/demo.job.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	s := newSeveral(t, *job)
	var n atomic.Int64
	o := s.open(func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		opt := planner.Options{AsOf: &asOf}
		if n.Add(1) == 1 {
			opt.Effort = &levelling.Effort{Schedules: 1}
		}
		return planner.Plan(ctx, j, opt)
	})
	was, err := o.Sheet(t.Context(), job.ID, nil)
	if err != nil {
		t.Fatal(err)
	}
	if was.Plan.Proven {
		t.Skip("a plan made without effort is proven: there is nothing to search for")
	}
	s.runs(o.Work)
	var is *office.Sheet
	until(t, "a better plan is found", func() bool {
		if is, err = o.Sheet(t.Context(), job.ID, nil); err != nil {
			t.Fatal(err)
		}
		return is.Take > 1
	})
	if is.Plan.Finish.After(was.Plan.Finish) {
		t.Errorf("the finish went from %s to %s", was.Plan.Finish, is.Plan.Finish)
	}
	for _, v := range verify.Plan(is.Job, is.Plan) {
		t.Errorf("the plan found is wrong: %s", v)
	}
}
