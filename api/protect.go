package api

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// secureHeaders are the headers that every answer has. A page that needs another
// policy sets its own.
func secureHeaders(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Content-Security-Policy", "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
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
