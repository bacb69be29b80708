package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/rights"
	"gaugerod/web"
)

// withPages is the site with the pages of the program.
func (s *site) withPages() *site {
	s.t.Helper()
	pages, err := web.New(s.server.office, web.Options{Now: time.Now, People: s.server.people})
	if err != nil {
		s.t.Fatal(err)
	}
	s.parts.Pages = pages.Register
	s.parts.ErrorPage = func(c echo.Context, p *Problem) error { return pages.Error(c, p.Status, p.Title, p.Detail) }
	if s.server, err = New(s.parts); err != nil {
		s.t.Fatal(err)
	}
	return s
}

// TestNoRouteWithoutALine: a service whose routes and whose table of rights differ
// does not start.
func TestNoRouteWithoutALine(t *testing.T) {
	s := newSite(t).withPages()
	parts := Parts{Database: s.store, Office: s.server.office, Keeper: s.server.keeper}
	hello := func(echo.Context) error { return nil }
	for want, with := range map[string]struct {
		declared string
		table    rights.Table
	}{
		"the route GET /new is not in the table of rights":             {"/new", rights.Table{}},
		"the table of rights names GET /old, which is no route":        {"/new", rights.Table{"GET /new": rights.SignedIn, "GET /old": rights.SignedIn}},
		"the table of rights lets nobody use GET /new":                 {"/new", rights.Table{"GET /new": rights.Who{}}},
		"does not say why GET /new is for everybody":                   {"/new", rights.Table{"GET /new": rights.Everybody("")}},
		"asks for a role on a job at GET /new/:jobs, which names none": {"/new/:jobs", rights.Table{"GET /new/:jobs": rights.Owner}},
		"": {"/new/:job", rights.Table{"GET /new/:job": rights.Owner}},
	} {
		parts.PageRights = with.table
		parts.Pages = func(e *echo.Echo) error { e.GET(with.declared, hello); return nil }
		_, err := New(parts)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	// What is added later, without a line, is served to nobody.
	s.server.echo.GET("/later", func(c echo.Context) error { return c.String(http.StatusOK, "hello") })
	s.get("/later").want(http.StatusNotFound)
}

// TestEveryDoorIsLimited: wherever one comes in, guessing is held back.
func TestEveryDoorIsLimited(t *testing.T) {
	limited := map[string]bool{}
	for _, r := range limitedRoutes {
		limited[rights.Key(r.method, r.path)] = true
	}
	for key, who := range rights.Service.And(rights.API, rights.Pages) {
		if who.IsDoor() && !limited[key] {
			t.Errorf("%s takes secrets or passwords, and may be tried without end", key)
		}
	}
}
