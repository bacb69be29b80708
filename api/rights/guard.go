package rights

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// Table says of every route who may use it. Its keys are the method and the address
// as echo has it declared, for instance "GET /api/jobs/:job/plan".
type Table map[string]Who

// Key is a route's key in the table.
func Key(method, path string) string { return method + " " + path }

// Of is the line of the route that a request has come to; false where there is none.
func (t Table) Of(c echo.Context) (Who, bool) {
	who, ok := t[Key(c.Request().Method, c.Path())]
	return who, ok
}

// Check holds the table against the routes that are declared: none without a line,
// no line without a route, nobody's, or for everybody without a reason, no right on
// a job where the address names none.
func (t Table) Check(routes []*echo.Route) error {
	var faults []error
	declared := map[string]bool{}
	for _, r := range routes {
		key := Key(r.Method, r.Path)
		declared[key] = true
		if _, ok := t[key]; !ok {
			faults = append(faults, fmt.Errorf("the route %s is not in the table of rights", key))
		}
	}
	for key, who := range t {
		switch {
		case !declared[key]:
			faults = append(faults, fmt.Errorf("the table of rights names %s, which is no route", key))
		case who.kind == none:
			faults = append(faults, fmt.Errorf("the table of rights lets nobody use %s", key))
		case who.kind == everybody && who.why == "":
			faults = append(faults, fmt.Errorf("the table of rights does not say why %s is for everybody", key))
		case who.kind == seated && !strings.Contains(key+"/", "/:job/"):
			faults = append(faults, fmt.Errorf("the table of rights asks for a role on a job at %s, which names none", key))
		}
	}
	return errors.Join(faults...)
}

// RefusedError says to somebody known that they may not.
type RefusedError struct{ Says string }

func (e *RefusedError) Error() string { return e.Says }

// Guard holds every request to a table.
type Guard struct {
	Table    Table
	Identify func(r *http.Request, job scheduler.ID) (signin.Visitor, error)
	// Reader is Identify, and how the job stands, for what only reads.
	Reader func(r *http.Request, job scheduler.ID) (signin.Visitor, *db.Stand, error)
	API    string        // what addresses of the API begin with
	Again  time.Duration // how often a lasting answer is asked about again
}

// Enforce is the middleware. What it does not let through:
//
//   - who has not signed in hears so from the API, and is led to the sign-in page by
//     the pages;
//   - a job that one has no seat on looks the same as one that is not there;
//   - who is known and may not hears who may.
//
// An address that is no route is nobody's to look into either: the API says first
// that one has to sign in.
func (g *Guard) Enforce(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		who, known := g.Table.Of(c)
		wrongMethod := !known && c.Get(echo.ContextKeyHeaderAllow) != nil
		if who.kind == everybody && !who.door {
			return next(c) // it does not matter who asks: no query for it
		}
		v, ctx, err := g.identify(c, who)
		if err != nil {
			return err
		}
		c.SetRequest(c.Request().WithContext(ctx))
		switch {
		case who.May(v):
		case v.Nobody() && (known || g.underAPI(c)):
			return g.signedOut(c)
		case wrongMethod:
			return next(c) // says which methods the address takes
		case !known:
			return echo.ErrNotFound // never the handler of a route without a line
		case v.Link != nil && c.Path() == "/":
			return c.Redirect(http.StatusSeeOther, signin.HomePath) // the only home it has
		case who.kind == seated && (v.Link != nil || v.Role == ""):
			return fmt.Errorf("job %q: %w", c.Param("job"), scheduler.ErrNotFound)
		default:
			return &RefusedError{who.says()}
		}
		if who.lasting {
			return g.last(c, who, next)
		}
		return next(c)
	}
}

// identify is who asks, and the context in which they do. What only reads a job, and
// once, gets along how the job stands; what changes it or lasts asks for itself.
func (g *Guard) identify(c echo.Context, who Who) (signin.Visitor, context.Context, error) {
	r, job := c.Request(), scheduler.ID(c.Param("job"))
	if r.Method != http.MethodGet || who.kind != seated || who.lasting {
		v, err := g.Identify(r, job)
		return v, signin.With(r.Context(), v), err
	}
	v, stand, err := g.Reader(r, job)
	return v, office.Knowing(signin.With(r.Context(), v), stand), err
}

func (g *Guard) underAPI(c echo.Context) bool {
	return strings.HasPrefix(c.Request().URL.Path, g.API+"/")
}

// signedOut has who has not signed in do so.
func (g *Guard) signedOut(c echo.Context) error {
	if g.underAPI(c) {
		c.Response().Header().Set("WWW-Authenticate", "Bearer")
		return signin.ErrSignedOut
	}
	to := signin.Path
	if r := c.Request(); r.Method == http.MethodGet && r.URL.Path != "/" {
		to += "?next=" + url.QueryEscape(r.URL.RequestURI())
	}
	return c.Redirect(http.StatusSeeOther, to)
}

// last ends an answer that goes on when its visitor may no longer have it.
func (g *Guard) last(c echo.Context, who Who, next echo.HandlerFunc) error {
	r, job := c.Request(), scheduler.ID(c.Param("job"))
	ctx, cancel := context.WithCancel(r.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		again := time.NewTicker(g.Again)
		defer again.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-again.C:
				// While the database does not answer nobody is put out.
				if v, err := g.Identify(r.WithContext(ctx), job); err == nil && !who.May(v) {
					cancel()
				}
			}
		}
	}()
	defer func() { cancel(); <-done }()
	c.SetRequest(r.WithContext(ctx))
	return next(c)
}

// Keys lists the routes of the table in order.
func (t Table) Keys() []string {
	keys := make([]string, 0, len(t))
	for key := range t {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// And is the table with the lines of others.
func (t Table) And(others ...Table) Table {
	all := Table{}
	for _, more := range append([]Table{t}, others...) {
		maps.Copy(all, more)
	}
	return all
}
