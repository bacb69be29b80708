package office_test

import (
	"sync"
	"sync/atomic"
	"testing"

	"gaugerod/api/office"
)

func TestWhatIsBesideASheetIsMadeOnce(t *testing.T) {
	type key int
	var sheet office.Sheet
	var made atomic.Int32
	var all sync.WaitGroup
	for n := range 40 {
		all.Go(func() {
			k := key(n % 2)
			if got := sheet.Beside.Once(k, func() any { made.Add(1); return k * 10 }); got != k*10 {
				t.Errorf("%v under %v", got, k)
			}
		})
	}
	all.Wait()
	if n := made.Load(); n != 2 {
		t.Errorf("made %d times, not once for each key", n)
	}
	if got := new(office.Sheet).Beside.Once(key(0), func() any { return "another sheet's" }); got != "another sheet's" {
		t.Errorf("a sheet has what is beside another: %v", got)
	}
}
