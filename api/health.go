package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
)

// pingTimeout is how long the database may take to say that it is there.
const pingTimeout = 2 * time.Second

// health adds /healthz (the program runs) and /readyz (and its database answers).
func (s *Server) health() {
	s.echo.GET("/healthz", func(c echo.Context) error { return c.String(http.StatusOK, "ok\n") })
	s.echo.GET("/readyz", func(c echo.Context) error {
		ctx, cancel := context.WithTimeout(c.Request().Context(), pingTimeout)
		defer cancel()
		select {
		case <-s.stopping:
			return problemOfStatus(http.StatusServiceUnavailable)
		default:
		}
		if err := s.database.Ping(ctx); err != nil {
			zerolog.Ctx(ctx).Warn().Err(err).Msg("the database does not answer")
			return problemOfStatus(http.StatusServiceUnavailable)
		}
		return c.String(http.StatusOK, "ready\n")
	})
}
