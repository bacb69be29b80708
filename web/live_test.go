package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// liveSite is a stored site whose pages are told of what changes, as the service tells
// them.
type liveSite struct {
	*site
	office *office.Office
	cut    chan struct{} // gets one for each stream that is to be cut
}

func newLiveSite(t *testing.T) *liveSite {
	t.Helper()
	return liveOn(newStoredSite(t, demo))
}

// liveOn has the pages of a site told of what changes.
func liveOn(of *site) *liveSite {
	s := &liveSite{site: of, office: of.pages.office, cut: make(chan struct{})}
	s.echo.GET("/api/jobs/:job/events", s.events)
	return s
}

// events is the service's stream in short: what the script needs of it.
func (s *liveSite) events(c echo.Context) error {
	watch := s.office.Subscribe(scheduler.ID(c.Param("job")))
	defer watch.Stop()
	ctx := c.Request().Context()
	if err := watch.Look(ctx); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Type", "text/event-stream")
	fmt.Fprint(c.Response(), "retry: 100\n\n")
	for {
		revision, isNew, plans := watch.Take()
		if isNew {
			fmt.Fprintf(c.Response(), "event: revision\nid: %d\ndata: {\"revision\":%d}\n\n", revision, revision)
		}
		for _, p := range plans {
			fmt.Fprintf(c.Response(), "event: plan\nid: %d\ndata: {\"revision\":%d,\"as_of\":%q,\"take\":%d}\n\n", revision, revision, p.AsOf, p.Take)
		}
		c.Response().Flush()
		select {
		case <-ctx.Done():
			return nil
		case <-s.cut:
			return nil
		case <-watch.News:
		}
	}
}

// rename is a change made elsewhere that every page of the job shows.
func (s *liveSite) rename(title string) {
	s.t.Helper()
	id := scheduler.ID(s.job[len("/jobs/"):])
	_, err := s.office.Commit(context.Background(), id, db.By("elsewhere"), func(j *scheduler.Job) error { j.Title = title; return nil })
	if err != nil {
		s.t.Fatal(err)
	}
}

// becomes waits until an expression is true in the page.
func (b *browser) becomes(expression string) {
	b.t.Helper()
	for end := time.Now().Add(30 * time.Second); !measure[bool](b, expression); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			b.t.Fatalf("within half a minute not: %s; the page says %q", expression, measure[string](b, `document.body.innerText.slice(0, 400)`))
		}
	}
}

// shows asks whether the page shows a title of the job in its heading, which a page of
// an older state does not.
func shows(title string) string {
	return fmt.Sprintf(`document.querySelector(".job").textContent === %q`, title)
}

// TestPagesFollow changes a job elsewhere while its page is open: the page shows it,
// where the reader is and without losing the focus.
func TestPagesFollow(t *testing.T) {
	s := newLiveSite(t)
	b := newBrowser(t, s.site)
	b.screen(390, 500, true)
	b.open(s.job + "/trades?said=release")
	b.becomes(`document.body.dataset.take === "1"`)
	measure[bool](b, `(() => { window.kept = 1; const l = [...document.querySelectorAll("main a[href]")].at(-1); l.focus(); scrollTo(0, 300); return true; })()`)
	at := measure[string](b, `document.activeElement.getAttribute("href")`)

	s.rename("House one")
	b.becomes(shows("House one"))
	if measure[int](b, `window.kept`) != 1 {
		t.Error("the page was loaded anew as a whole")
	}
	if is := measure[string](b, `document.activeElement.getAttribute("href") ?? ""`); is != at {
		t.Errorf("the focus went from %s to %q", at, is)
	}
	if y := measure[float64](b, `scrollY`); y != 300 {
		t.Errorf("the page was scrolled to %v", y)
	}
	b.becomes(`document.querySelector("#live").textContent.includes("as it is now")`)

	// The connection is lost, the job changes, and it comes back.
	s.cut <- struct{}{}
	s.rename("House two")
	b.becomes(shows("House two"))
	if n := measure[int](b, `document.querySelectorAll("main").length`); n != 1 {
		t.Errorf("there are %d pages in the page", n)
	}
}

// TestTypedTextIsNotLost: a page in which somebody writes offers the change instead.
func TestTypedTextIsNotLost(t *testing.T) {
	s := newLiveSite(t)
	b := newBrowser(t, s.site)
	b.screen(1280, 900, false)
	b.open(s.job + "/steps/" + someHold(newSite(t, demo)))
	was := measure[string](b, `document.querySelector(".job").textContent`)
	b.do(chromedp.SendKeys("#release-note", "Looked at on"))
	s.rename("House one")
	b.becomes(`document.querySelector("#live a") !== null`)
	if note := measure[string](b, `document.querySelector("#release-note").value`); note != "Looked at on" {
		t.Errorf("what was typed is %q now", note)
	}
	if is := measure[string](b, `document.querySelector(".job").textContent`); is != was {
		t.Errorf("the page was changed under the writer's hands: %s", is)
	}
	b.submit("#live a")
	b.becomes(shows("House one"))
}

// TestPagesAreWholeWithoutScript: what the script would fetch is what a reader without it
// gets, and no page waits for it.
func TestPagesAreWholeWithoutScript(t *testing.T) {
	s := newSite(t, demo)
	w, doc := s.get(s.job)
	if policy := w.Header().Get("Content-Security-Policy"); policy == "" || len(find(doc, "script")) != 1 || attr(find(doc, "script")[0], "src") == "" {
		t.Errorf("scripts of the page: %d, policy %s", len(find(doc, "script")), policy)
	}
	r := httptest.NewRequest(http.MethodGet, attr(find(doc, "script")[0], "src"), nil)
	answer := httptest.NewRecorder()
	s.echo.ServeHTTP(answer, r)
	if kind := answer.Header().Get("Content-Type"); answer.Code != 200 || kind != "text/javascript; charset=utf-8" {
		t.Errorf("the script comes with status %d as %s", answer.Code, kind)
	}
}
