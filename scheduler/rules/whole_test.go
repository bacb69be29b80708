package rules_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/rules"
)

func TestManyFaultsAreCounted(t *testing.T) {
	job := sound(t)
	for range 7000 {
		job.Pins = append(job.Pins, scheduler.Pin{})
	}
	faults := rules.Check(job)
	if len(faults) != 5001 || !strings.HasPrefix(faults[5000].What, "there are ") || faults[5000].Mend == "" {
		t.Errorf("%d faults, the last %v", len(faults), faults[len(faults)-1])
	}
}

func TestLongNamesAreCutInSentences(t *testing.T) {
	job := sound(t)
	job.Pins[0].Step = scheduler.ID(strings.Repeat("ä", 5000))
	faults := rules.Check(job)
	if len(faults) != 1 || len(faults[0].What) > 610 || !strings.HasSuffix(faults[0].What, "ä…") {
		t.Error(faults)
	}
}

func TestFaultsComeInTheOrderOfTheFile(t *testing.T) {
	job := sound(t)
	for k := range job.Tasks {
		job.Tasks[k].Title = ""
	}
	job.Trades[0].Title, job.Pins[0].By, job.Week[1][0].To = "", "x", 0
	faults := rules.Check(job)
	if len(faults) != len(job.Tasks)+3 {
		t.Error(faults)
	}
	for k := 1; k < len(faults); k++ {
		if faults[k].Pos.Line < faults[k-1].Pos.Line {
			t.Errorf("%v after %v", faults[k], faults[k-1])
		}
	}
}

func TestALayerOfTheOnlyInstance(t *testing.T) {
	job := sound(t)
	job.Typicals = append(job.Typicals, scheduler.Typical{ID: "doors", Title: "D", Places: ids{"opening-n1"}, Tasks: []scheduler.Task{{ID: "hang", Title: "H"}}})
	job.BuildUps[0].Layers[2].By = "doors.hang"
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
	job.BuildUps[0].Places = ids{"opening-n1"}
	job.BuildUps[0].Layers[2].By = "openings.set"
	if faults := rules.Check(job); len(faults) > 0 {
		t.Error(faults)
	}
}

// TestWhatIsSoundExpands spoils random jobs by putting one name for another. What
// the rules let pass must expand: the two resolve names by their own code.
func TestWhatIsSoundExpands(t *testing.T) {
	passed, refused := 0, 0
	for seed := range uint64(400) {
		job := randomjob.New(seed, randomjob.Size{Steps: 12 + int(seed%30)})
		if faults := rules.Check(job); len(faults) > 0 {
			t.Fatalf("seed %d: %v", seed, faults)
		}
		rng := rand.New(rand.NewPCG(seed, 7))
		var slots []*scheduler.ID
		eachID(reflect.ValueOf(job).Elem(), func(id *scheduler.ID) { slots = append(slots, id) })
		names := make([]scheduler.ID, 0, 2*len(slots))
		for _, s := range slots {
			names = append(names, *s)
		}
		for k := range job.Typicals {
			for _, task := range job.Typicals[k].Tasks {
				names = append(names, job.Typicals[k].ID+"."+task.ID, job.Typicals[k].Places[0]+"."+task.ID)
			}
		}
		for range 1 + rng.IntN(2) {
			*slots[rng.IntN(len(slots))] = names[rng.IntN(len(names))]
		}
		if len(rules.Check(job)) > 0 {
			refused++
			continue
		}
		passed++
		if _, err := expand.Expand(job); err != nil {
			t.Errorf("seed %d: sound, but it does not expand: %v", seed, err)
		}
	}
	if passed < 20 || refused < 100 {
		t.Errorf("%d passed and %d were refused: too one-sided to tell", passed, refused)
	}
}

// eachID visits every name in a job.
func eachID(v reflect.Value, visit func(*scheduler.ID)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			eachID(v.Elem(), visit)
		}
	case reflect.Slice:
		for k := range v.Len() {
			eachID(v.Index(k), visit)
		}
	case reflect.Struct:
		for k := range v.NumField() {
			eachID(v.Field(k), visit)
		}
	case reflect.String:
		if id, ok := v.Addr().Interface().(*scheduler.ID); ok {
			visit(id)
		}
	}
}

func ExampleCheck() {
	job := &scheduler.Job{
		ID: "shed", Title: "A shed", Zone: "Europe/Vienna", Start: date("2026-03-02"),
		Trades: []scheduler.Trade{{ID: "framing", Title: "Framing", Crews: 1}},
		Tasks:  []scheduler.Task{{ID: "frame", Title: "Frame", Work: scheduler.Work{Trades: ids{"framin"}, Crews: 1}}},
	}
	job.Week[1] = append(job.Week[1], period("07:30", "16:00"))
	for _, fault := range rules.Check(job) {
		fmt.Println(fault)
	}
	// Output: task "frame" names the trade "framin", which is not under trades; did you mean "framing"?
}
