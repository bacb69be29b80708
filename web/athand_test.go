package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// heldSite is a site of the demo on which no plan of the job with another title is made
// before hold is closed.
func heldSite(t *testing.T) (s *site, hold chan struct{}) {
	t.Helper()
	read, job := reader(t, demo)
	m := &memory{read: read, revision: 1, head: db.JobHead{ID: job.ID, Title: job.Title, Changed: readAt}}
	hold = make(chan struct{})
	s = siteWith(t, m, job.ID, func(ctx context.Context, j *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
		if j.Title != job.Title {
			select {
			case <-hold:
			case <-ctx.Done():
				return nil, ctx.Err()
			}
		}
		return planOnce(ctx, j, asOf)
	})
	s.memory = m
	return s, hold
}

// TestAPageShownEarlyFollows: a page that was opened while a change was being planned shows
// the new plan by itself once there is one.
func TestAPageShownEarlyFollows(t *testing.T) {
	held, hold := heldSite(t)
	s := liveOn(held)
	b := newBrowser(t, s.site)
	held.get(s.job) // there is a plan
	s.rename("Another house")
	b.open(s.job)
	if !measure[bool](b, `document.querySelector(".standing").textContent.includes("being planned")`) {
		t.Error("the page does not say that a change is being planned")
	}
	close(hold)
	b.becomes(shows("Another house"))
	if measure[bool](b, `document.querySelector(".standing").textContent.includes("being planned")`) {
		t.Error("the page still speaks of a change to come")
	}
}

// TestPagesDoNotWaitForAPlan: while a change is being planned, pages show the plan before and
// say so; who made the change waits for its plan, and then pages are of it.
func TestPagesDoNotWaitForAPlan(t *testing.T) {
	s, hold := heldSite(t)
	pages := []string{s.job, s.job + "/places", s.job + "/steps/" + someStep(s), s.job + "/trades/" + someTrade(s), "/mine"}
	const planned = "being planned"
	says := func(path string) bool {
		t.Helper()
		w, _ := s.ask(httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil))
		if w.Code != http.StatusOK {
			t.Fatalf("%s: %d", path, w.Code)
		}
		if got := strings.Contains(w.Body.String(), "Another house"); got {
			t.Errorf("%s shows the job as it is planned only now", path)
		}
		return strings.Contains(w.Body.String(), planned)
	}
	for _, path := range pages {
		if says(path) {
			t.Errorf("%s speaks of a change before there is one", path)
		}
	}
	if _, err := s.pages.office.Commit(t.Context(), s.memory.head.ID, db.By("kim"), func(j *scheduler.Job) error { j.Title = "Another house"; return nil }); err != nil {
		t.Fatal(err)
	}
	for _, path := range pages {
		if !says(path) {
			t.Errorf("%s does not say that a change is being planned", path)
		}
	}
	asked := make(chan string)
	go func() { // who sends a form waits
		r := httptest.NewRequest(http.MethodPost, s.job+"/edit/site/itself", strings.NewReader(""))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := httptest.NewRecorder()
		s.echo.ServeHTTP(w, r)
		asked <- w.Body.String()
	}()
	select {
	case <-asked:
		t.Fatal("who sends a form is answered before there is a plan")
	case <-time.After(100 * time.Millisecond):
	}
	close(hold)
	if answer := <-asked; strings.Contains(answer, planned) || !strings.Contains(answer, "Another house") {
		t.Error("who sends a form gets the plan before")
	}
	for _, path := range pages {
		w, _ := s.get(path)
		if text := w.Body.String(); strings.Contains(text, planned) || !strings.Contains(text, "Another house") {
			t.Errorf("%s is not of the new plan once there is one", path)
		}
	}
}
