package planner

import (
	"context"
	"runtime"
	"testing"

	"gaugerod/scheduler/randomjob"
)

// TestMemoryWeighsWhatItHolds: what a memory says it takes is about what the heap gives
// back when it goes, and little beside the plan itself.
func TestMemoryWeighsWhatItHolds(t *testing.T) {
	job := randomjob.New(5, randomjob.Size{Steps: 120})
	const some = 20
	memories := make([]*Memory, some)
	weight := 0
	for k := range memories {
		_, m, err := Replan(context.Background(), job, memories[max(k-1, 0)], Options{Mend: true})
		if err != nil {
			t.Fatal(err)
		}
		memories[k] = m
		weight += m.Weight()
	}
	with := heap()
	steps := len(memories[0].steps)
	runtime.KeepAlive(memories)
	clear(memories)
	held := with - heap()
	if weight*2 < held || weight > held*2 {
		t.Errorf("%d memories weigh %d bytes and hold %d", some, weight, held)
	}
	if each := held / some; each > 1000*steps {
		t.Errorf("a memory of %d steps holds %d bytes", steps, each)
	}
	runtime.KeepAlive(job)
}

// heap is what is in use of it.
func heap() int {
	var m runtime.MemStats
	runtime.GC()
	runtime.GC()
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}
