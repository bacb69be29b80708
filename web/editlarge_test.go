package web

import (
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
)

// BenchmarkEditingALargeJob finds one task of a job of 20,000 steps, puts it back changed,
// keeps it in a real database, and shows the pages on the way. Plans do not count.
func BenchmarkEditingALargeJob(b *testing.B) {
	job := randomjob.Large(20_000, 60)
	job.Canonical()
	name := string(job.Tasks[len(job.Tasks)/2].ID)
	s := &subject{kind: findKind(kinds, "tasks"), path: []string{"tasks", name}}
	longer := func(v jobfile.Value, n int) *jobfile.Value {
		v.Set("takes", jobfile.Value{Word: strconv.Itoa(1+n%90) + " days"})
		return &v
	}
	b.Run("find", func(b *testing.B) {
		for b.Loop() {
			if _, ok := jobfile.Find(job, s.path...); !ok {
				b.Fatal(name)
			}
		}
	})
	b.Run("put", func(b *testing.B) {
		for n := 0; b.Loop(); n++ {
			v, _ := jobfile.Find(job, s.path...)
			if _, err := jobfile.Put(job, longer(v, n), s.path...); err != nil {
				b.Fatal(err)
			}
		}
	})
	store := dbtest.Open(b, time.Now)
	if _, err := store.Put(b.Context(), job, db.By("test")); err != nil {
		b.Fatal(err)
	}
	b.Run("keep", func(b *testing.B) {
		for n := 0; b.Loop(); n++ {
			_, err := store.Change(b.Context(), job.ID, db.By("test"), func(j *scheduler.Job) error {
				v, _ := jobfile.Find(j, s.path...)
				_, err := putThing(j, s, longer(v, n), v.Mark(), "")
				return err
			})
			if err != nil {
				b.Fatal(err)
			}
		}
	})
	site := siteOver(b, store, job.ID)
	for _, path := range []string{"/edit", "/edit/tasks", "/edit/tasks/" + name} {
		b.Run("page"+path, func(b *testing.B) {
			read := func() {
				w := httptest.NewRecorder()
				site.echo.ServeHTTP(w, httptest.NewRequest(http.MethodGet, site.job+path, nil))
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
			}
			read() // makes the plan
			for b.Loop() {
				read()
			}
		})
	}
}
