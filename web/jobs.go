package web

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
)

type jobsPage struct {
	Frame
	Jobs []jobEntry
	New  bool // the reader may make one
}

type jobEntry struct {
	Title, Href string
	Revision    int64
	Changed     Part
}

func (jobsPage) name() string { return "jobs" }

func (p *Pages) jobs(c echo.Context) error {
	heads, err := signin.Jobs(c.Request().Context(), p.office)
	if err != nil {
		return err
	}
	pg := newJobsPage(heads, p.now().Location())
	pg.New = rights.May(signin.From(c.Request().Context()), http.MethodPost, "/new-job")
	return p.render(c, http.StatusOK, pg)
}

func newJobsPage(heads []db.JobHead, zone *time.Location) jobsPage {
	pg := jobsPage{Frame: Frame{Title: "Jobs"}}
	for _, h := range heads {
		pg.Jobs = append(pg.Jobs, jobEntry{
			Title: h.Title, Href: "/jobs/" + string(h.ID), Revision: h.Revision,
			Changed: onDay(h.Changed, zone),
		})
	}
	return pg
}
