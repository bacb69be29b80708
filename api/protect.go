package api

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// strictPolicy lets what is shown load this service's own style, script, pictures
// and data, and run nothing inline. Pages set one that is stricter still.
const strictPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self' data:; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// dataPolicy is that of answers which are no pages: nothing is loaded or run.
const dataPolicy = "default-src 'none'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox"

// secureHeaders are the headers that every answer has, whatever becomes of the
// request. A page that needs another policy sets its own.
func (s *Server) secureHeaders(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Content-Security-Policy", strictPolicy)
		if underAPI(c) {
			h.Set("Content-Security-Policy", dataPolicy)
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

// limitBody ends the reading of a body that is larger than its route takes.
func (s *Server) limitBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		limit := int64(maxBody)
		if strings.HasSuffix(c.Path(), jobFilePath) {
			limit = maxJobFile
		}
		r := c.Request()
		if r.ContentLength > limit {
			return problemOfStatus(http.StatusRequestEntityTooLarge)
		}
		r.Body = http.MaxBytesReader(c.Response(), r.Body, limit)
		return next(c)
	}
}
