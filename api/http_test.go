package api

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// failing is a store whose database says no.
type failing struct {
	store
	err error
}

func (f *failing) Jobs(context.Context) ([]db.JobHead, error) { return nil, f.err }

func (f *failing) Standing(context.Context, scheduler.ID, worktime.Date) (int64, int, error) {
	return 0, 0, f.err
}

func (f *failing) Change(context.Context, scheduler.ID, db.Edit, func(*scheduler.Job) error) (int64, error) {
	return 0, f.err
}

func (f *failing) Put(context.Context, *scheduler.Job, db.Edit) (int64, error) { return 0, f.err }

func (f *failing) Ping(context.Context) error { return f.err }

// TestUnforeseenErrors: the outside hears a fixed sentence, the log the cause,
// joined by the request's id.
func TestUnforeseenErrors(t *testing.T) {
	s := newSite(t).withExample()
	file := string(s.get(garden + "/file").body)
	secret := errors.New("relation jobs at 10.0.0.7 has password hunter2")
	s = newSiteOver(t, &failing{s.store, secret})
	for _, got := range []answer{
		s.get("/api/jobs"), s.get(garden + "/plan"),
		s.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10"}`),
		s.send("PUT", garden+"/file", file, header("Content-Type", yamlType)),
	} {
		p := got.problem(http.StatusInternalServerError, "about:blank")
		if p.Detail != unknownSentence || strings.Contains(string(got.body), "hunter2") {
			t.Errorf("the outside hears %s", got.body)
		}
		if !strings.Contains(s.log.String(), got.header.Get(requestIDHeader)) {
			t.Errorf("request %s is not in the log", got.header.Get(requestIDHeader))
		}
	}
	if n := strings.Count(s.log.String(), "hunter2"); n != 4 {
		t.Errorf("the cause is %d times in the log, want 4: %s", n, s.log)
	}
	s = newSiteOver(t, &failing{s.store, context.DeadlineExceeded})
	s.get("/api/jobs").problem(http.StatusServiceUnavailable, "too-slow")
}

func TestHealthAndReadiness(t *testing.T) {
	s := newSite(t)
	s.get("/healthz", signedOut).want(http.StatusOK)
	s.get("/readyz", signedOut).want(http.StatusOK)
	broken := newSiteOver(t, &failing{s.store, errors.New("connection refused")})
	broken.get("/healthz", signedOut).want(http.StatusOK)
	broken.get("/readyz", signedOut).problem(http.StatusServiceUnavailable, "about:blank")
	close(s.server.stopping)
	s.get("/readyz", signedOut).problem(http.StatusServiceUnavailable, "about:blank")
}

func TestWhatHTTPItselfObjectsTo(t *testing.T) {
	s := newSite(t).withExample()
	for _, path := range []string{"/nowhere", "/api/nowhere", "/api/jobs/garden-studio/nowhere", "/api/"} {
		s.get(path).problem(http.StatusNotFound, "about:blank", "nothing at this address")
	}
	for _, c := range []struct{ method, path, allow string }{
		{"DELETE", "/api/jobs", "GET"}, {"POST", garden + "/plan", "GET"}, {"PUT", "/healthz", "GET"}, {"GET", garden + "/waivers/", ""},
	} {
		got := s.send(c.method, c.path, "")
		if c.allow == "" {
			got.problem(http.StatusNotFound, "about:blank")
			continue
		}
		got.problem(http.StatusMethodNotAllowed, "about:blank", "Allow")
		if allow := got.header.Get("Allow"); !strings.Contains(allow, c.allow) {
			t.Errorf("%s %s: Allow %q", c.method, c.path, allow)
		}
	}
	s.send("PATCH", garden+"/facts/frame", "done=2026-04-10", header("Content-Type", "application/x-www-form-urlencoded")).
		problem(http.StatusUnsupportedMediaType, "about:blank", "of a type")
	huge := `{"note":"` + strings.Repeat("x", maxBody) + `"}`
	s.send("PATCH", garden+"/facts/frame", huge).problem(http.StatusRequestEntityTooLarge, "about:blank", "larger")
	s.send("PATCH", garden+"/facts/frame", huge, func(r *http.Request) { r.ContentLength = -1 }).
		problem(http.StatusRequestEntityTooLarge, "about:blank", "larger")
	s.get(garden, signedOut).problem(http.StatusUnauthorized, "about:blank", "link")
	s.get("/api/nowhere", signedOut).problem(http.StatusUnauthorized, "about:blank")
	s.get("/api/openapi.json", signedOut).want(http.StatusOK)
	s.get("/api/openapi-3.0.json", signedOut).want(http.StatusOK)
}

// TestOtherSitesCannotChangeAnything: a page of another site, opened in a browser
// that is signed in, is turned away.
func TestOtherSitesCannotChangeAnything(t *testing.T) {
	s := newSite(t).withExample()
	const crews = garden + "/trades/cladding/crews"
	for _, w := range [][]with{
		{header("Sec-Fetch-Site", "cross-site")},
		{header("Sec-Fetch-Site", "same-site")},
		{header("Origin", "https://evil.example")},
	} {
		s.send("PUT", crews, `{"crews":2}`, w...).problem(http.StatusForbidden, "about:blank", "another site")
		s.get(garden, w...).want(http.StatusOK)
	}
	s.send("PUT", crews, `{"crews":2}`, header("Sec-Fetch-Site", "same-origin")).want(http.StatusOK)

	trusting, err := New(Parts{
		Database: s.store, Office: s.server.office, Keeper: s.server.keeper, Log: zerolog.Nop(),
		Config: Config{Origins: []string{"https://site.example"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	s.server = trusting
	s.send("PUT", crews, `{"crews":3}`, header("Sec-Fetch-Site", "cross-site"), header("Origin", "https://site.example")).want(http.StatusOK)
	if _, err := New(Parts{Keeper: s.server.keeper, Config: Config{Origins: []string{"site.example/path"}}}); err == nil {
		t.Error("an origin that is none went through")
	}
}

func TestEveryAnswerHasSecureHeadersAndAnID(t *testing.T) {
	s := newSite(t)
	seen := map[string]bool{}
	for path, referrer := range map[string]string{
		"/healthz": "same-origin", "/nowhere": "same-origin", "/api/jobs": "same-origin", "/sign-in": "no-referrer",
	} {
		h := s.get(path).header
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": referrer,
			"Cross-Origin-Opener-Policy": "same-origin",
		} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
		if !strings.Contains(h.Get("Content-Security-Policy"), "frame-ancestors 'none'") {
			t.Errorf("%s: policy %q", path, h.Get("Content-Security-Policy"))
		}
		id := h.Get(requestIDHeader)
		if len(id) != 16 || seen[id] {
			t.Errorf("%s: request id %q", path, id)
		}
		seen[id] = true
	}
}

// TestLogTellsNothingOfPeople: neither what was sent nor who sent it is logged.
func TestLogTellsNothingOfPeople(t *testing.T) {
	s := newSite(t).withExample()
	s.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10","by":"kim","note":"kim was late"}`, header("User-Agent", "kims phone")).want(http.StatusOK)
	s.get(garden + "/steps?trade=windows")
	s.get("/sign-in?secret=hunter2&next=/jobs/kim").want(http.StatusSeeOther)
	log := s.log.String()
	for _, word := range []string{"kim", "hunter2", "192.0.2.1", "trade=", s.token} {
		if strings.Contains(log, word) {
			t.Errorf("the log tells of %q: %s", word, log)
		}
	}
	for _, want := range []string{`"route":"/api/jobs/:job/facts/:step"`, `"method":"PATCH"`, `"status":200`, `"request":"`, `"took_ms":`} {
		if !strings.Contains(log, want) {
			t.Errorf("the log does not tell %s: %s", want, log)
		}
	}
}

func TestPagesAndTheirErrors(t *testing.T) {
	s := newSite(t)
	parts := Parts{
		Database: s.store, Office: s.server.office, Keeper: s.server.keeper, Log: zerolog.New(s.log),
		PageRights: rights.Table{
			"GET /": rights.SignedIn, "GET /gone": rights.SignedIn, "GET /thing/:id": rights.SignedIn, "POST /thing/:id": rights.SignedIn,
			"GET /broken": rights.SignedIn, "GET /cut": rights.SignedIn,
		},
		Pages: func(e *echo.Echo) error {
			e.GET("/", func(c echo.Context) error {
				return c.HTML(http.StatusOK, "hello "+signin.From(c.Request().Context()).Name)
			})
			e.GET("/gone", func(echo.Context) error { return scheduler.ErrNotFound })
			e.GET("/thing/:id", func(echo.Context) error { return echo.ErrNotFound })
			e.POST("/thing/:id", func(echo.Context) error { return nil })
			e.GET("/broken", func(echo.Context) error { panic("index out of range") })
			e.GET("/cut", func(echo.Context) error { panic(http.ErrAbortHandler) })
			return nil
		},
		ErrorPage: func(c echo.Context, p *Problem) error { return c.HTML(p.Status, "<p>"+p.Detail) },
	}
	var err error
	if s.server, err = New(parts); err != nil {
		t.Fatal(err)
	}
	if got := s.get("/").want(http.StatusOK); string(got.body) != "hello owner" {
		t.Errorf("%s", got.body)
	}
	if got := s.get("/", signedOut).want(http.StatusSeeOther); got.header.Get("Location") != "/sign-in" {
		t.Errorf("leads to %q", got.header.Get("Location"))
	}
	if got := s.get("/gone").want(http.StatusNotFound); !strings.HasPrefix(string(got.body), "<p>") {
		t.Errorf("%s", got.body)
	}
	if got := s.get("/nowhere").want(http.StatusNotFound); !strings.HasPrefix(string(got.body), "<p>") {
		t.Errorf("%s", got.body)
	}
	if got := s.get("/thing/7").want(http.StatusNotFound); got.header.Get("Allow") != "" {
		t.Errorf("a thing that is not there allows %s", got.header.Get("Allow"))
	}
	if got := s.get("/broken").want(http.StatusInternalServerError); string(got.body) != "<p>"+unknownSentence {
		t.Errorf("%s", got.body)
	}
	if !strings.Contains(s.log.String(), "index out of range") || !strings.Contains(s.log.String(), `"stack":`) {
		t.Errorf("the log is silent on the breakdown: %s", s.log)
	}
	s.get("/api/nowhere").problem(http.StatusNotFound, "about:blank")
	func() {
		defer func() {
			if recover() != http.ErrAbortHandler {
				t.Error("a connection that was to be cut was not")
			}
		}()
		s.get("/cut")
	}()

	// When the error page itself fails there is still a problem.
	parts.ErrorPage = func(echo.Context, *Problem) error { return errors.New("no template") }
	if s.server, err = New(parts); err != nil {
		t.Fatal(err)
	}
	s.get("/gone").problem(http.StatusNotFound, "not-found")
	parts.Pages = func(*echo.Echo) error { return errors.New("no templates") }
	if _, err := New(parts); err == nil {
		t.Error("pages that fail went through")
	}

	// A group of pages does not take the methods of other addresses for unknown addresses.
	parts.PageRights = rights.Table{"GET /page": rights.SignedIn}
	parts.Pages = func(e *echo.Echo) error {
		e.Group("").GET("/page", func(c echo.Context) error { return c.NoContent(http.StatusOK) })
		return nil
	}
	if s.server, err = New(parts); err != nil {
		t.Fatal(err)
	}
	s.send("DELETE", "/api/jobs", "").problem(http.StatusMethodNotAllowed, "about:blank")
	s.send("DELETE", "/page", "").problem(http.StatusMethodNotAllowed, "about:blank")
	s.get("/api/nowhere").problem(http.StatusNotFound, "about:blank")
	s.get("/api/nowhere", signedOut).problem(http.StatusUnauthorized, "about:blank")
}

func TestListen(t *testing.T) {
	l, err := Listen(context.Background(), ":0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if !strings.HasPrefix(l.Addr().String(), "127.0.0.1:") {
		t.Errorf("listens on %s: beyond this machine without being told", l.Addr())
	}
	if _, err := Listen(context.Background(), l.Addr().String()); err == nil {
		t.Error("two listen on one port")
	}
	if _, err := Listen(context.Background(), "8433"); err == nil {
		t.Error("an address without a colon went through")
	}
}

func TestClosedOffice(t *testing.T) {
	s := newSite(t).withExample()
	s.server.office.Close()
	s.get(garden+"/plan").problem(http.StatusServiceUnavailable, "stopping")
}
