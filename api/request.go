package api

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"runtime/debug"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
)

// requestIDHeader carries the id under which a request is in the log.
const requestIDHeader = "X-Request-Id"

// requests gives every request an id and a logger that bears it, and logs each
// answer: method, route as it was declared, status, size and time. Never the
// address as sent, its parameters, the body, who asked or from where.
func (s *Server) requests(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		begun := time.Now()
		id := newRequestID()
		c.Response().Header().Set(requestIDHeader, id)
		log := s.log.With().Str("request", id).Logger()
		c.SetRequest(c.Request().WithContext(log.WithContext(c.Request().Context())))
		if err := next(c); err != nil {
			c.Error(err)
		}
		status := c.Response().Status
		level := zerolog.InfoLevel
		if status >= http.StatusInternalServerError {
			level = zerolog.ErrorLevel
		}
		took := time.Since(begun)
		s.metrics.answered(c, took)
		log.WithLevel(level).Str("method", methodOf(c.Request())).Str("route", routeOf(c)).Int("status", status).
			Int64("bytes", c.Response().Size).Dur("took_ms", took).Msg("request")
		return nil
	}
}

// nameless is the log of the HTTP library, without the addresses of clients that it
// tells there.
type nameless struct{ log zerolog.Logger }

var addressPattern = regexp.MustCompile(`\[[0-9A-Fa-f:.%a-z]+\]:\d+|\d+\.\d+\.\d+\.\d+(:\d+)?`)

func (n nameless) Write(line []byte) (int, error) {
	n.log.Warn().Msg(string(bytes.TrimSpace(addressPattern.ReplaceAll(line, []byte("a client")))))
	return len(line), nil
}

// recovered turns a panic of a handler into an error, so that it is answered and
// logged as one. A handler that means to cut the connection still does.
func recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			switch p := recover(); p {
			case nil:
			case http.ErrAbortHandler:
				panic(p)
			default:
				zerolog.Ctx(c.Request().Context()).Error().Bytes("stack", debug.Stack()).Str("route", c.Path()).Msg("a handler broke down")
				err = fmt.Errorf("handler broke down: %v", p)
			}
		}()
		return next(c)
	}
}

func newRequestID() string {
	var b [8]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}

// fail answers an error: a problem under /api, the pages' error page elsewhere.
// It is the one place where an error becomes an answer.
func (s *Server) fail(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	if errors.Is(err, echo.ErrNotFound) {
		err = s.wrongMethod(c, err)
	}
	p := s.seen(c, err)
	if s.errorPage != nil && !underAPI(c) {
		if err := s.errorPage(c, p); err == nil || c.Response().Committed {
			return
		}
	}
	writeProblem(c.Response(), p)
}

// methods are those that a route of ours may take.
var methods = []string{http.MethodGet, http.MethodPut, http.MethodPost, http.MethodPatch, http.MethodDelete}

// wrongMethod tells an address that takes other methods from one that is not
// there: a group of routes with a guard answers both with "not found".
func (s *Server) wrongMethod(c echo.Context, notFound error) error {
	if path := c.Path(); path != "" && !strings.HasSuffix(path, "*") {
		return notFound // there is such a route: its handler says that the thing is not
	}
	var allowed []string
	for _, method := range methods {
		found := s.echo.NewContext(c.Request(), nil)
		s.echo.Router().Find(method, c.Request().URL.Path, found)
		if path := found.Path(); path != "" && !strings.HasSuffix(path, "*") {
			allowed = append(allowed, method)
		}
	}
	if len(allowed) == 0 {
		return notFound
	}
	c.Response().Header().Set("Allow", strings.Join(allowed, ", "))
	return echo.ErrMethodNotAllowed
}

// seen is the problem of an error, which is logged when nobody foresaw it.
func (s *Server) seen(c echo.Context, err error) *Problem {
	found := ProblemOf(err)
	p := *found // the error may be a shared value
	p.Instance = "urn:gaugerod:request:" + c.Response().Header().Get(requestIDHeader)
	if unforeseen(&p) {
		zerolog.Ctx(c.Request().Context()).Error().Err(err).Str("route", c.Path()).Msg("unforeseen error")
	}
	return &p
}

// unforeseen says whether a problem stands for an error that belongs in the log.
func unforeseen(p *Problem) bool {
	return p.Status >= http.StatusInternalServerError && p.Status != http.StatusServiceUnavailable
}

func writeProblem(w http.ResponseWriter, p *Problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	// The client may be gone; there is nobody to tell then.
	_ = json.NewEncoder(w).Encode(p)
}
