package office_test

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// BenchmarkSheet reads current sheets of the demo house from many goroutines over a
// real database, which is asked for the revision each time; and says what an office
// with so many houses holds on to.
func BenchmarkSheet(b *testing.B) {
	const houses = 20
	data, err := os.ReadFile("../../testdata/demo.job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	store := dbtest.Open(b, time.Now)
	o := office.New(store, time.Now, zerolog.Nop())
	b.Cleanup(o.Close)
	ids := make([]scheduler.ID, houses)
	for k := range ids {
		job, err := jobfile.Read("demo", data)
		if err != nil {
			b.Fatal(err)
		}
		job.ID = scheduler.ID(fmt.Sprint("house-", k))
		ids[k] = job.ID
		if _, err := store.Put(b.Context(), job, db.By("load")); err != nil {
			b.Fatal(err)
		}
		if _, err := o.Sheet(b.Context(), job.ID, nil); err != nil {
			b.Fatal(err)
		}
	}
	var held runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&held)
	var mu sync.Mutex
	var took []time.Duration
	b.ResetTimer()
	b.SetParallelism(8)
	b.RunParallel(func(pb *testing.PB) {
		var mine []time.Duration
		for k := 0; pb.Next(); k++ {
			begun := time.Now()
			if _, err := o.Sheet(context.Background(), ids[k%houses], nil); err != nil {
				b.Error(err)
			}
			mine = append(mine, time.Since(begun))
		}
		mu.Lock()
		defer mu.Unlock()
		took = append(took, mine...)
	})
	b.StopTimer()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "reads/s")
	b.ReportMetric(float64(held.HeapAlloc)/(1<<20), "MiB-held")
}
