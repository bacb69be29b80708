package web

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

type errorPage struct {
	Frame
	Status int
	What   string
	Mend   string
}

func (errorPage) name() string { return "error" }

// Error answers a request for a page with an error in words for people. Whoever
// maps errors to a status calls it; what and mend must hold nothing of the inside.
func (p *Pages) Error(c echo.Context, status int, what, mend string) error {
	if what == "" {
		what = http.StatusText(status)
	}
	return p.render(c, status, errorPage{Frame: Frame{Title: what}, Status: status, What: what, Mend: mend})
}
