package rights_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// Only what reads a job, once, may go by how the job stood when the request began. What
// changes it reads its own change afterwards, and what lasts sees what comes later.
func TestWhoGoesByWhatWasKnown(t *testing.T) {
	visitor := signin.Visitor{Session: uuid.New(), Steward: true, Role: scheduler.Owner}
	var asked string
	guard := &rights.Guard{
		Table: rights.Service.And(rights.API, rights.Pages), API: "/api", Again: time.Hour,
		Identify: func(*http.Request, scheduler.ID) (signin.Visitor, error) {
			asked = "who"
			return visitor, nil
		},
		Reader: func(_ *http.Request, job scheduler.ID) (signin.Visitor, *db.Stand, error) {
			asked = "who and how"
			return visitor, &db.Stand{Job: job, Revision: 1}, nil
		},
	}
	e := echo.New()
	e.Use(guard.Enforce)
	done := func(c echo.Context) error {
		if signin.From(c.Request().Context()) != visitor {
			t.Errorf("%s %s: who asks is not known", c.Request().Method, c.Path())
		}
		return c.NoContent(http.StatusNoContent)
	}
	cases := []struct{ method, path, want string }{
		{"GET", "/api/jobs/:job/plan", "who and how"},
		{"GET", "/jobs/:job", "who and how"},
		{"GET", "/jobs/:job/steps/:step", "who and how"},
		{"GET", "/api/jobs/:job/events", "who"},
		{"PATCH", "/api/jobs/:job/facts/:step", "who"},
		{"POST", "/jobs/:job/steps/:step/progress", "who"},
		{"PUT", "/api/jobs/:job/file", "who"},
		{"DELETE", "/api/jobs/:job/pins/:step", "who"},
		{"GET", "/api/jobs", "who"},
		{"GET", "/", "who"},
	}
	for _, c := range cases {
		e.Add(c.method, c.path, done)
	}
	for _, c := range cases {
		asked = ""
		w := httptest.NewRecorder()
		e.ServeHTTP(w, httptest.NewRequestWithContext(context.Background(), c.method, c.path, nil))
		if w.Code != http.StatusNoContent || asked != c.want {
			t.Errorf("%s %s: status %d, asked %q, want %q", c.method, c.path, w.Code, asked, c.want)
		}
	}
}
