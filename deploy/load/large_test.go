package load_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// The large job and what is wanted: to open it, change it and have the new plan.
const (
	largeSteps  = 20_000
	wantedLarge = 2 * time.Second
)

func BenchmarkLargeJob(b *testing.B) {
	for _, kind := range []struct {
		name   string
		places int
	}{{"crews", 0}, {"crews and places", 60}} {
		b.Run(kind.name, func(b *testing.B) {
			job := randomjob.Large(largeSteps, kind.places)
			folder := dataFolder(b)
			s := serve(b, folder)
			file := written(b, job)
			loaded := timed(func() { s.ask(http.MethodPut, path(job.ID, "file"), file, nil) })
			planned := timed(func() { s.ask(http.MethodGet, path(job.ID, "plan"), nil, nil) })
			s.stop()
			s = serve(b, folder)
			cold := timed(func() { s.ask(http.MethodGet, path(job.ID, "plan"), nil, nil) })
			say("large job with %s: %d steps, file of %.1f MB; put within %s, first plan within %s more; opened by a fresh process within %s",
				kind.name, largeSteps, mb(len(file)), ms(loaded), ms(planned), ms(cold))
			n := 0
			for b.Loop() {
				n++
				s.openAndChange(job, n)
			}
			b.ReportMetric(s.most(), "MiB")
		})
	}
}

// openAndChange has the plan, makes a task take longer and has the new plan.
func (s *service) openAndChange(job *scheduler.Job, n int) {
	var text []byte
	program0, postgres0, _ := s.processor()
	open := timed(func() { text = s.ask(http.MethodGet, path(job.ID, "plan"), nil, nil) })
	task := &job.Tasks[(n*7919)%len(job.Tasks)]
	takes := worktime.Span{Amount: task.Takes.Amount + 1 + int32(n), Unit: task.Takes.Unit}
	var revision int64
	change := timed(func() {
		s.ask(http.MethodPut, path(job.ID, "steps", task.ID, "takes"), map[string]any{"takes": takes},
			func(h http.Header) { revision = revisionOf(h) })
	})
	replan := timed(func() {
		text = s.ask(http.MethodGet, path(job.ID, "plan"), nil, func(h http.Header) {
			if got := revisionOf(h); got != revision {
				s.b.Fatalf("the plan is of revision %d, not %d", got, revision)
			}
		})
	})
	program1, postgres1, _ := s.processor()
	var p plan
	if err := json.Unmarshal(text, &p); err != nil {
		s.b.Fatal(err)
	}
	if got := len(p.Plan.Steps); got != len(job.Tasks) {
		s.b.Fatalf("the plan has %d steps, not %d", got, len(job.Tasks))
	}
	all := open + change + replan
	say("  opened within %s, changed within %s, planned again within %s: together %s, %.2f of what is wanted; an answer of %.1f MB; "+
		"of processors the program took %.2f s and Postgres %.2f s; most memory %.0f MiB",
		ms(open), ms(change), ms(replan), ms(all), all.Seconds()/wantedLarge.Seconds(), mb(len(text)),
		program1-program0, postgres1-postgres0, s.most())
	s.b.ReportMetric(all.Seconds()/wantedLarge.Seconds(), "together/goal")
}

func timed(do func()) time.Duration {
	begun := time.Now()
	do()
	return time.Since(begun)
}

func mb(bytes int) float64 { return float64(bytes) / 1e6 }

func say(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) }
