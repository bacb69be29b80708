package solve_test

import (
	"sync/atomic"
	"testing"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

// FuzzInstance: whatever small instance is read, it is solved for a little while
// without a panic, and a schedule that is found holds.
func FuzzInstance(f *testing.F) {
	f.Add("a.rcp", []byte(pair))
	f.Add("a.sch", []byte(tight))
	f.Add("a.rcp", []byte("3 1 9 999999999999999999 1 1 2 999999999999999999 1 1 3 0 0 0"))
	f.Add("a.sch", []byte("0 0 0 0 0 1 1 1 [-9223372036854775808] 1 1 0 0 1 0 1 1 0"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		in, err := instance.Read(name, data)
		if err != nil || len(in.Length) > 20 || len(in.Lags) > 60 || len(in.Size) > 5 {
			return
		}
		var asked atomic.Int32
		r := solve.Instance(in, func() bool { return asked.Add(1) > 20 })
		if err := solve.Check(in, &r); err != nil {
			t.Error(err)
		}
		if r.Makespan >= 0 && (r.Bound > r.Makespan || r.Status == solve.Infeasible || r.Status == solve.Unknown) {
			t.Errorf("%+v", r)
		}
	})
}
