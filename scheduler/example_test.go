package scheduler_test

import (
	"errors"
	"fmt"

	"gaugerod/scheduler"
)

// A hold point is released in the name of the person whose release it is, and of
// nobody else.
func ExampleJob_Release() {
	job := &scheduler.Job{
		People: []scheduler.Person{{ID: "kim"}, {ID: "inspector"}},
		Holds:  []scheduler.Hold{{ID: "frame-seen", Kind: scheduler.Inspection, By: "inspector"}},
	}
	seen := scheduler.Verdict{Hold: "frame-seen", At: *when("2026-04-20 09:00"), By: "kim"}
	err := job.Release(seen)
	fmt.Println(errors.Is(err, scheduler.ErrNotTheirs), err)

	seen.By = "inspector"
	fmt.Println(job.Release(seen), job.FindFact("frame-seen").Released)
	// Output:
	// true frame-seen is released or refused by inspector, not by kim; record it in the name of the one who looked at it
	// <nil> 2026-04-20 09:00
}
