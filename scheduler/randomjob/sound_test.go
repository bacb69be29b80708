package randomjob_test

import (
	"testing"

	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/rules"
)

func TestRandomJobsAreSound(t *testing.T) {
	for seed := range uint64(400) {
		size := randomjob.Size{Steps: 5 + int(seed%60), Tight: int(seed % 3 * 40)}
		if faults := rules.Check(randomjob.New(seed, size)); len(faults) > 0 {
			t.Fatalf("seed %d: %v", seed, faults)
		}
	}
	if faults := rules.Check(randomjob.Plain(1, 200, 500)); len(faults) > 0 {
		t.Errorf("plain: %v", faults)
	}
	for _, ends := range []randomjob.Ends{randomjob.FinishToStart, randomjob.AllFour} {
		if faults := rules.Check(randomjob.Continuous(1, 50, 100, ends)); len(faults) > 0 {
			t.Errorf("continuous: %v", faults)
		}
	}
}
