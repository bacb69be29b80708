package api

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/attach"
)

// strictPolicy lets what is shown load this service's own style, script, pictures
// and data, and run nothing inline. Pages set one that is stricter still.
const strictPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self' data:; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// dataPolicy is that of answers which are no pages: nothing is loaded or run.
const dataPolicy = "default-src 'none'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox"

// everywhere is what every answer has in its head. The values are shared by all answers:
// setting another one puts it in their place.
var everywhere = []struct {
	name  string
	value []string
}{
	{"X-Content-Type-Options", []string{"nosniff"}},
	{"X-Frame-Options", []string{"DENY"}},
	{"Referrer-Policy", []string{"same-origin"}},
	{"Cross-Origin-Opener-Policy", []string{"same-origin"}},
	{"Cross-Origin-Resource-Policy", []string{"same-origin"}},
	{"Permissions-Policy", []string{"camera=(), geolocation=(), microphone=()"}},
}

var pagePolicies, dataPolicies = []string{strictPolicy}, []string{dataPolicy}

// secureHeaders are the headers that every answer has, whatever becomes of the
// request. A page that needs another policy sets its own.
func (s *Server) secureHeaders(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		for _, one := range everywhere {
			h[one.name] = one.value
		}
		h["Content-Security-Policy"] = pagePolicies
		if underAPI(c) {
			h["Content-Security-Policy"] = dataPolicies
		}
		if s.https {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		return next(c)
	}
}

// crossOrigin turns away changes that another site's page sends in a signed-in
// person's name.
func (s *Server) crossOrigin(origins []string) (echo.MiddlewareFunc, error) {
	protection := http.NewCrossOriginProtection()
	for _, o := range origins {
		if err := protection.AddTrustedOrigin(o); err != nil {
			return nil, fmt.Errorf("trusted origin: %w", err)
		}
	}
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := protection.Check(c.Request()); err != nil {
				return problemOfStatus(http.StatusForbidden)
			}
			return next(c)
		}
	}, nil
}

// bodyLimits are the routes that take more than others, by method and address.
var bodyLimits = map[string]int64{
	"PUT " + prefix + "/jobs/:job" + jobFilePath: maxJobFile,
	"POST " + prefix + "/jobs/:job/attachments":  attach.MostBytes,
	"POST /jobs/:job/steps/:step/attach":         attach.MostBytes + formRoom,
}

// formRoom is what a form takes around the file in it.
const formRoom = 16 << 10

// limitBody ends the reading of a body that is larger than its route takes. What takes
// more may also take longer to arrive.
func (s *Server) limitBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		limit, large := bodyLimits[r.Method+" "+c.Path()]
		if !large {
			limit = maxBody
		}
		if r.ContentLength > limit {
			return problemOfStatus(http.StatusRequestEntityTooLarge)
		}
		if large {
			// Where there is no connection, as in tests, there is no deadline.
			_ = http.NewResponseController(c.Response()).SetReadDeadline(time.Now().Add(uploadTime))
		}
		r.Body = http.MaxBytesReader(c.Response(), r.Body, limit)
		return next(c)
	}
}

// takeBody reads the whole body before anything is done with it, once who asks is
// known and may: a body that is too large, comes too slowly or breaks off is
// answered as what it is, on every route alike.
func takeBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if r.Body == nil || r.Body == http.NoBody {
			return next(c)
		}
		body, err := io.ReadAll(r.Body)
		if err != nil {
			return bodyProblem(err)
		}
		r.Body = io.NopCloser(bytes.NewReader(body))
		return next(c)
	}
}

// bodyProblem is what is wrong with a body that could not be read.
func bodyProblem(err error) *Problem {
	var tooBig *http.MaxBytesError
	switch {
	case errors.As(err, &tooBig):
		return problemOfStatus(http.StatusRequestEntityTooLarge)
	case errors.Is(err, os.ErrDeadlineExceeded):
		return problemOfStatus(http.StatusRequestTimeout)
	}
	return problemOfStatus(http.StatusBadRequest)
}
