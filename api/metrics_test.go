package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

// counted gives a site metrics.
func (s *site) counted(of Figures) *site {
	s.server.metrics = NewMetrics(of, zerolog.New(s.log))
	return s
}

// figures is what a scraper reads.
func (s *site) figures() string {
	s.t.Helper()
	w := httptest.NewRecorder()
	s.server.metrics.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, metricsPath, nil))
	if w.Code != http.StatusOK {
		s.t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	return w.Body.String()
}

// figure is one of them, by its name with labels.
func (s *site) figure(name string) string {
	s.t.Helper()
	m := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(name) + ` (\S+)$`).FindStringSubmatch(s.figures())
	if m == nil {
		return ""
	}
	return m[1]
}

func TestMetrics(t *testing.T) {
	t.Parallel()
	store := dbtest.Open(t, time.Now)
	s := newSiteOver(t, store).withExample().counted(store)
	if _, err := store.Change(context.Background(), "garden-studio", db.By("test"), func(j *scheduler.Job) error {
		j.Title = "Garden studio by the pond"
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"gaugerod_jobs": "1", "gaugerod_jobs_unplanned": "1", "gaugerod_plan_lag_revisions": "2",
		"gaugerod_heavy_work_waiting": "0", "gaugerod_heavy_work_running": "0",
		"gaugerod_database_up": "1", "gaugerod_event_streams": "0", "gaugerod_database_connections_most": "6",
	} {
		if got := s.figure(name); got != want {
			t.Errorf("%s is %q, want %s", name, got, want)
		}
	}
	if age := s.figure("gaugerod_plan_lag_seconds"); age == "" || age == "0" {
		t.Errorf("a revision without a plan is %q seconds old", age)
	}
	s.get(garden + "/plan").want(http.StatusOK)
	s.get(garden + "/plan?as_of=yesterday").want(http.StatusUnprocessableEntity)
	s.send("BREW", "/tea/kim-was-here", "").want(http.StatusNotFound)
	const plan = `gaugerod_request_seconds_count{method="GET",route="/api/jobs/:job/plan",`
	for name, want := range map[string]string{
		"gaugerod_jobs_unplanned": "0", "gaugerod_plan_lag_revisions": "0", "gaugerod_plan_lag_seconds": "0",
		plan + `status="2xx"}`: "1", plan + `status="4xx"}`: "1",
		`gaugerod_request_seconds_count{method="other",route="none",status="4xx"}`: "1",
	} {
		if got := s.figure(name); got != want {
			t.Errorf("%s is %q, want %s", name, got, want)
		}
	}
	if !strings.Contains(s.figures(), `gaugerod_request_seconds_bucket{method="GET",route="/api/jobs/:job/plan",status="2xx",le="0.05"}`) {
		t.Error("nothing is counted up to 50 ms")
	}
	s.server.metrics.Planned(30*time.Millisecond, true)
	s.server.metrics.Planned(time.Second, false)
	for _, proven := range []string{"yes", "no"} {
		if got := s.figure(`gaugerod_plan_seconds_count{proven="` + proven + `"}`); got != "1" {
			t.Errorf("%q plans whose proof is a %s", got, proven)
		}
	}
	for _, word := range []string{"garden-studio", "kim", "yesterday", "BREW", s.token} {
		if strings.Contains(s.figures(), word) {
			t.Errorf("the figures tell of %q", word)
		}
	}
}

// down is a database that does not answer.
type down struct{}

func (down) Pool() db.PoolFigures { return db.PoolFigures{Open: 3, Waiting: time.Second} }

func (down) Lag(context.Context) (db.Lag, error) { return db.Lag{}, errors.New("connection refused") }

func TestMetricsWithoutADatabase(t *testing.T) {
	s := newSite(t).counted(down{})
	for name, want := range map[string]string{
		"gaugerod_database_up": "0", "gaugerod_database_connections_open": "3", "gaugerod_jobs": "",
		"gaugerod_database_connections_waited_seconds_total": "1",
	} {
		if got := s.figure(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}

// TestMetricsHaveAListenerOfTheirOwn: they are nowhere else, and nothing else is there.
func TestMetricsHaveAListenerOfTheirOwn(t *testing.T) {
	s := newSite(t).counted(down{})
	if got := s.get(metricsPath, signedOut); strings.Contains(string(got.body), "gaugerod_jobs") || got.status == http.StatusOK {
		t.Errorf("the figures are where the pages are: %d", got.status)
	}
	listener, err := Listen(context.Background(), ":0")
	if err != nil {
		t.Fatal(err)
	}
	if host := listener.Addr().String(); !strings.HasPrefix(host, "127.0.0.1:") {
		t.Errorf("without a host it listens on %s", host)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.server.metrics.Serve(ctx, listener, zerolog.Nop()) }()
	for path, want := range map[string]int{metricsPath: 200, "/": 404, "/api/jobs": 404, "/debug/pprof/": 404} {
		answer, err := http.Get(fmt.Sprintf("http://%s%s", listener.Addr(), path))
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, answer.StatusCode, want)
		}
	}
	http.DefaultClient.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
