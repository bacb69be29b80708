package api

import (
	"net/http"
	"strconv"
	"sync"

	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
)

// mostStreams is how many event streams one session may have open at once: a page in
// each of that many tabs. Common practice, no source.
const mostStreams = 12

// retryStream is the seconds after which a stream too many may be asked for again.
const retryStream = 30

// openStreams counts the streams of each session.
type openStreams struct {
	mu sync.Mutex
	of map[string]int
}

// open is one stream more of a session, false where it has too many.
func (o *openStreams) open(session string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.of[session] >= mostStreams {
		return false
	}
	o.of[session]++
	return true
}

func (o *openStreams) close(session string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.of[session]--; o.of[session] == 0 {
		delete(o.of, session)
	}
}

// limitStreams turns away who has too many event streams open, and counts the others.
// It stands after who asks is known.
func (s *Server) limitStreams(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !isStream(c) {
			return next(c)
		}
		session := sessionOf(c)
		if !s.streams.open(session) {
			s.metrics.turnedAway(c)
			c.Response().Header().Set("Retry-After", strconv.Itoa(retryStream))
			return problemOfStatus(http.StatusTooManyRequests)
		}
		defer s.streams.close(session)
		defer s.metrics.stream()()
		return next(c)
	}
}

// sessionOf tells sessions apart without being one; all who have none are one.
func sessionOf(c echo.Context) string {
	return signin.From(c.Request().Context()).Session.String()
}
