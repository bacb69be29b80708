package scheduler_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
)

func TestCanonicalFillsInCounts(t *testing.T) {
	work := scheduler.Work{}
	job := &scheduler.Job{
		Trades:   []scheduler.Trade{{}, {Crews: 2}},
		Gear:     []scheduler.Gear{{}, {Count: 3}},
		Tasks:    []scheduler.Task{{Work: work}},
		Holds:    []scheduler.Hold{{Work: work}},
		Typicals: []scheduler.Typical{{Tasks: []scheduler.Task{{Work: work}}, Holds: []scheduler.Hold{{Work: scheduler.Work{Crews: 4}}}}},
	}
	job.Canonical()
	got := []int{
		job.Trades[0].Crews, job.Trades[1].Crews, job.Gear[0].Count, job.Gear[1].Count,
		job.Tasks[0].Crews, job.Holds[0].Crews, job.Typicals[0].Tasks[0].Crews, job.Typicals[0].Holds[0].Crews,
	}
	if d := cmp.Diff([]int{1, 2, 1, 3, 1, 1, 1, 4}, got); d != "" {
		t.Error(d)
	}
}

func TestCanonicalOrderOfWaits(t *testing.T) {
	wait := func(note string, to scheduler.ID, end scheduler.End) scheduler.Wait {
		return scheduler.Wait{To: scheduler.Point{Step: to, End: end}, Note: note}
	}
	waits := []scheduler.Wait{
		wait("8 apart", "a", scheduler.Finish),
		wait("9 apart", "p.x", scheduler.Start),
		wait("6 order", "o.making", scheduler.Start),
		wait("4 hold", "h", scheduler.Start),
		wait("3 task", "b", scheduler.Start),
		wait("1 task", "a", scheduler.Start),
		wait("7 bare order", "q.delivery", scheduler.Start),
		wait("5 hold", "h", scheduler.Start),
		wait("2 task", "a", scheduler.Start),
	}
	job := &scheduler.Job{
		Tasks:  []scheduler.Task{{ID: "a"}, {ID: "b"}},
		Holds:  []scheduler.Hold{{ID: "h"}},
		Orders: []scheduler.Order{{ID: "o", Stages: []scheduler.Stage{{ID: "making"}}}, {ID: "q"}},
		Waits:  waits,
		Typicals: []scheduler.Typical{{
			Tasks: []scheduler.Task{{ID: "x"}}, Holds: []scheduler.Hold{{ID: "y"}},
			Waits: []scheduler.Wait{wait("3", "a", scheduler.Start), wait("2", "y", scheduler.Start), wait("1", "x", scheduler.Start)},
		}},
	}
	job.Canonical()
	var got []string
	for _, w := range append(job.Waits, job.Typicals[0].Waits...) {
		got = append(got, w.Note)
	}
	want := []string{"1 task", "2 task", "3 task", "4 hold", "5 hold", "6 order", "7 bare order", "8 apart", "9 apart", "1", "2", "3"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}
