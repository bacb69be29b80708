package api

import (
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"syscall"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler/jobfile"
)

// BenchmarkAnswers reads answers and pages of the demo house through the whole service
// over a real database, and says what a read takes of this process's processor time.
func BenchmarkAnswers(b *testing.B) {
	s := newWholeSite(b, dbtest.Open(b, time.Now))
	data, err := os.ReadFile("../testdata/demo.job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	job, err := jobfile.Read("demo", data)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := s.store.Put(b.Context(), job, db.By("test")); err != nil {
		b.Fatal(err)
	}
	sheet, err := s.parts.Office.Sheet(b.Context(), job.ID, nil)
	if err != nil {
		b.Fatal(err)
	}
	at := "/jobs/" + string(job.ID)
	for _, path := range []string{
		"/healthz", "/api" + at + "/plan", "/api" + at + "/steps/" + string(sheet.Plan.Steps[0].ID), "/api" + at + "/windows", "/api" + at + "/alerts", "/api" + at + "/holds",
		at, at + "/trades/" + string(job.Trades[0].ID), at + "/steps/" + string(sheet.Plan.Steps[0].ID), at + "/places", at + "/alerts", at + "/orders", "/",
	} {
		b.Run("GET "+path, func(b *testing.B) {
			b.ReportAllocs()
			begun := processor(b)
			for b.Loop() {
				r := httptest.NewRequest(http.MethodGet, path, nil)
				r.Header.Set("Authorization", "Bearer "+s.token)
				w := &thrown{header: http.Header{}}
				if s.server.Handler().ServeHTTP(w, r); w.status != http.StatusOK {
					b.Fatal(path, w.status)
				}
			}
			b.ReportMetric(float64((processor(b)-begun).Microseconds())/float64(b.N), "cpu-µs/op")
		})
	}
}

// thrown is an answer that nobody reads.
type thrown struct {
	header http.Header
	status int
}

func (w *thrown) Header() http.Header         { return w.header }
func (w *thrown) Write(p []byte) (int, error) { return io.Discard.Write(p) }
func (w *thrown) WriteHeader(status int)      { w.status = status }

// processor is the processor time that this process has used.
func processor(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
