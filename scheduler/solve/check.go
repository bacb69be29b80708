package solve

import (
	"fmt"

	"gaugerod/scheduler/instance"
)

// Check proves that a result's schedule keeps every lag and every resource. It
// shares nothing with the solver.
func Check(in *instance.Problem, r *Result) error {
	if r.Makespan < 0 {
		return nil
	}
	if len(r.Start) != len(in.Length) || r.Start[len(r.Start)-1] > r.Makespan {
		return fmt.Errorf("%s: the schedule does not end at %d", in.Name, r.Makespan)
	}
	for _, l := range in.Lags {
		if r.Start[l.To] < r.Start[l.From]+l.Least {
			return fmt.Errorf("%s: step %d starts at %d, step %d at %d: less than %d after it", in.Name, l.From, r.Start[l.From], l.To, r.Start[l.To], l.Least)
		}
	}
	for res := range in.Size {
		for i, at := range r.Start {
			if at < 0 {
				return fmt.Errorf("%s: step %d starts at %d", in.Name, i, at)
			}
			sum := int64(0)
			for j, s := range r.Start {
				if s <= at && at < s+in.Length[j] {
					sum += in.Use[res][j]
				}
			}
			if sum > in.Size[res] {
				return fmt.Errorf("%s: at %d resource %d is used %d times of %d", in.Name, at, res, sum, in.Size[res])
			}
		}
	}
	return nil
}
