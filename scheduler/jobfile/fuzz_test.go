package jobfile_test

import (
	"errors"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// FuzzRead: whatever the file, reading does not panic; it gives a job or located
// faults, and a job that was read can be written and read again.
func FuzzRead(f *testing.F) {
	f.Add(readFile(f, everyFeature))
	f.Add(readFile(f, mistakes))
	f.Add([]byte(head))
	f.Add([]byte("&a [*a, !!x y, ? [b] : c, <<: *a]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		job, err := jobfile.Read("fuzz", data)
		if err == nil {
			roundTrip(t, job)
			return
		}
		var faults scheduler.Faults
		if !errors.As(err, &faults) || len(faults) == 0 || job != nil {
			t.Fatalf("got %v, %v", job, err)
		}
		for k, fault := range faults {
			if fault.Pos.Line < 1 || fault.Pos.Column < 1 || fault.What == "" || fault.Mend == "" {
				t.Errorf("not told in full: %#v", fault)
			}
			if k > 0 && fault.Pos.Line < faults[k-1].Pos.Line {
				t.Errorf("out of order: %v", fault)
			}
		}
	})
}
