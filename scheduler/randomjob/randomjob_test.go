package randomjob_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

func TestSameSeedSameJob(t *testing.T) {
	for seed := range uint64(50) {
		size := randomjob.Size{Steps: 40, Tight: 30}
		if d := cmp.Diff(randomjob.New(seed, size), randomjob.New(seed, size)); d != "" {
			t.Fatalf("seed %d: %s", seed, d)
		}
	}
	if cmp.Equal(randomjob.New(1, randomjob.Size{}), randomjob.New(2, randomjob.Size{})) {
		t.Error("two seeds gave one job")
	}
	if d := cmp.Diff(randomjob.Plain(3, 60, 90), randomjob.Plain(3, 60, 90)); d != "" {
		t.Error(d)
	}
}

// uses says which features a job uses, found from the job alone.
func uses(j *scheduler.Job) randomjob.Feature {
	var f randomjob.Feature
	on := func(x randomjob.Feature, yes bool) {
		if yes {
			f |= x
		}
	}
	on(randomjob.DaysOff, len(j.Closures) > 0)
	work := func(w scheduler.Work) {
		on(randomjob.Alone, w.Alone)
		on(randomjob.GearUse, len(w.Gear) > 0)
		on(randomjob.Elapsed, w.Takes.Elapsed())
	}
	waits := func(ws []scheduler.Wait) {
		for _, w := range ws {
			on(randomjob.AllEnds, w.From.End == scheduler.Start || w.To.End == scheduler.Finish)
			on(randomjob.Mosts, w.Most != nil)
			on(randomjob.Elapsed, w.Least.Elapsed())
		}
	}
	holds := func(hs []scheduler.Hold) {
		on(randomjob.Holds, len(hs) > 0)
		for _, h := range hs {
			on(randomjob.Witnesses, h.Witness)
			on(randomjob.Notices, !h.Notice.Zero() && !h.Witness)
			work(h.Work)
		}
	}
	for _, t := range j.Trades {
		on(randomjob.OwnWeeks, t.Week != nil)
		on(randomjob.DaysOff, len(t.Off) > 0)
		on(randomjob.Crews, t.Crews < 1000)
		on(randomjob.Notices, !t.Notice.Zero())
	}
	for _, p := range j.Places {
		on(randomjob.OwnWeeks, p.Week != nil)
		on(randomjob.Room, p.Room > 0)
	}
	for _, t := range j.Tasks {
		work(t.Work)
	}
	for _, ty := range j.Typicals {
		on(randomjob.Typicals, true)
		waits(ty.Waits)
		holds(ty.Holds)
		for _, t := range ty.Tasks {
			work(t.Work)
		}
	}
	holds(j.Holds)
	waits(j.Waits)
	for _, b := range j.BuildUps {
		on(randomjob.BuildUps, true)
		for _, l := range b.Layers {
			on(randomjob.Mosts, l.Exposed != nil)
		}
	}
	on(randomjob.Orders, len(j.Orders) > 0)
	on(randomjob.Occupations, len(j.Occupations) > 0)
	on(randomjob.Dues, len(j.Dues) > 0)
	on(randomjob.Pins, len(j.Pins) > 0)
	on(randomjob.Waivers, len(j.Waivers) > 0)
	on(randomjob.Facts, len(j.Facts) > 0)
	on(randomjob.Promises, len(j.Issues) > 0 || len(j.Promises) > 0 || len(j.Answers) > 0)
	for _, t := range j.Tasks {
		on(randomjob.Spreads, !t.Spread.None())
	}
	on(randomjob.Drawings, len(j.Drawings) > 0 || j.Site != scheduler.Site{})
	return f
}

func TestEveryFeatureComesAndCanBeLeftOut(t *testing.T) {
	for f := randomjob.Feature(1); f < randomjob.All; f <<= 1 {
		came := false
		for seed := range uint64(120) {
			came = came || uses(randomjob.New(seed, randomjob.Size{Steps: 30}))&f != 0
			if uses(randomjob.New(seed, randomjob.Size{Steps: 30, Without: f}))&f != 0 {
				t.Errorf("feature %#x left out, but seed %d has it", f, seed)
				break
			}
		}
		if !came {
			t.Errorf("feature %#x never came", f)
		}
	}
	if got := uses(randomjob.New(5, randomjob.Size{Steps: 30, Without: randomjob.All})); got != 0 {
		t.Errorf("with nothing allowed the job uses %#x", got)
	}
}

func TestFactsOfEveryKind(t *testing.T) {
	var got [9]bool
	for seed := range uint64(200) {
		j := randomjob.New(seed, randomjob.Size{Steps: 30})
		for _, f := range j.Facts {
			for k, there := range [9]bool{
				f.Started != nil, f.Done != nil, f.Done != nil && f.Started == nil, f.Remaining != nil, f.Booked != nil,
				f.Expected != nil, f.Released != nil, f.Refused != nil, f.Measured != nil,
			} {
				got[k] = got[k] || there
			}
			for _, past := range []*worktime.When{f.Started, f.Done, f.Released, f.Refused} {
				if past != nil && past.Day >= *j.AsOf {
					t.Errorf("seed %d: %s recorded on %s, not before as of %s", seed, f.Step, past, j.AsOf)
				}
			}
		}
	}
	for k, there := range got {
		if !there {
			t.Errorf("kind %d of fact never came", k)
		}
	}
}

func TestPlainIsAsLargeAsAsked(t *testing.T) {
	j := randomjob.Plain(1, 100_000, 250_000)
	if len(j.Tasks) != 100_000 || len(j.Waits) != 250_000 {
		t.Errorf("%d steps, %d waits", len(j.Tasks), len(j.Waits))
	}
}

func TestContinuousJoinsTheEndsAskedFor(t *testing.T) {
	all := map[[2]scheduler.End]bool{}
	for _, w := range randomjob.Continuous(1, 30, 200, randomjob.AllFour).Waits {
		all[[2]scheduler.End{w.From.End, w.To.End}] = true
	}
	if len(all) != 4 {
		t.Errorf("%d of 4 pairs of ends", len(all))
	}
	for _, w := range randomjob.Continuous(1, 30, 200, randomjob.FinishToStart).Waits {
		if w.From.End != scheduler.Finish || w.To.End != scheduler.Start || w.Most != nil {
			t.Fatalf("not finish to start: %+v", w)
		}
	}
	if n := len(randomjob.Continuous(1, 1, 10, randomjob.AllFour).Waits); n != 0 {
		t.Errorf("one step has %d waits", n)
	}
}
