package office

import (
	"testing"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/worktime"
)

// full is a shelf with a sheet and what its plan left.
func full(id scheduler.ID, revision int64) *shelf {
	job := &scheduler.Job{ID: id}
	net := scheduler.NewNetwork(job, make([]scheduler.Step, 100), nil)
	s := &shelf{job: job, network: net, revision: revision, sheets: map[worktime.Date]*Sheet{}}
	s.keep(&Sheet{Job: job, Revision: revision, AsOf: 20000, Take: 1})
	s.before = memory{of: db.PlanOf{Job: id, Revision: revision, AsOf: 20000}, take: 1, left: planner.Recall(&scheduler.Plan{Steps: make([]scheduler.PlannedStep, 100)})}
	return s
}

// TestIdleJobsAreLetGo: what the plan before left goes first, of the job that nobody
// has asked for longest, and then the job.
func TestIdleJobsAreLetGo(t *testing.T) {
	one := full("one", 1)
	lean := one.weight() - one.before.left.Weight()
	all := &shelves{by: map[scheduler.ID]*shelf{}, room: 3*lean + one.before.left.Weight()}
	state := func(want string) {
		t.Helper()
		got := ""
		for _, id := range []scheduler.ID{"one", "two", "three", "four"} {
			switch s := all.by[id]; {
			case s == nil:
				got += " none"
			case s.before.left == nil:
				got += " lean"
			default:
				got += " full"
			}
		}
		if got != want {
			t.Errorf("one to four are%s, want%s", got, want)
		}
	}
	all.put(one)
	all.put(full("two", 1))
	state(" full full none none")
	all.take("one")
	all.put(full("three", 1))
	state(" lean lean full none")
	all.put(full("four", 1))
	state(" lean none lean full")
}

func TestShelvesKeepTheNewest(t *testing.T) {
	all := &shelves{by: map[scheduler.ID]*shelf{}, room: 1 << 30}
	two := all.put(full("one", 2))
	if again := all.put(full("one", 2)); again != two {
		t.Error("two who read the same do not share it")
	}
	if late := full("one", 1); all.put(late) != late || all.by["one"] != two {
		t.Error("an older revision took the place of a newer one")
	}
	bare := full("one", 3)
	bare.before = memory{}
	if three := all.put(bare); three.before.of.Revision != 2 {
		t.Errorf("what the plan before left did not come along: %+v", three.before.of)
	}
	for day := worktime.Date(20000); day < 20010; day++ {
		two.keep(&Sheet{AsOf: day, Take: 1})
	}
	if len(two.sheets) != keptPlans {
		t.Errorf("%d days are kept", len(two.sheets))
	}
	two.keep(&Sheet{AsOf: 20009, Take: 3})
	two.keep(&Sheet{AsOf: 20009, Take: 2})
	if take := two.sheets[20009].Take; take != 3 {
		t.Errorf("take %d is kept, not the newest", take)
	}
}

// TestTheSheetBeforeStays: the last sheet goes from revision to revision until there is a
// plan, and making room for other jobs does not take it from those who read meanwhile.
func TestTheSheetBeforeStays(t *testing.T) {
	bare := func(revision int64) *shelf {
		s := full("one", revision)
		s.sheets, s.order, s.before = map[worktime.Date]*Sheet{}, nil, memory{}
		return s
	}
	first := full("one", 1)
	all := &shelves{by: map[scheduler.ID]*shelf{}, room: first.weight()}
	all.put(first)
	for revision := int64(2); revision < 4; revision++ {
		if s := all.put(bare(revision)); s.older == nil || s.older.Revision != 1 {
			t.Fatalf("at revision %d the sheet before is %+v", revision, s.older)
		}
	}
	three := all.by["one"]
	if with, without := three.weight(), bare(3).weight()+three.before.left.Weight(); with != without {
		t.Errorf("with the sheet before the job counts %d bytes, without %d", with, without)
	}
	two := full("two", 1)
	all.room = two.weight() + bare(3).weight()
	all.put(two)
	if three.before.left != nil || three.older == nil || all.by["one"] != three {
		t.Errorf("room was made of %+v", three)
	}
	three.keep(&Sheet{Job: three.job, Revision: 3, AsOf: 20000, Take: 1})
	three.older = nil
	three.keep(&Sheet{Job: three.job, Revision: 3, AsOf: 20100, Take: 1}) // somebody asked for another day
	four := bare(4)
	four.usual = 20000
	if s := all.put(four); s.older == nil || s.older.Revision != 3 || s.older.AsOf != 20000 {
		t.Errorf("at revision 4 the sheet before is %+v", s.older)
	}
}
