package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"mime"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
)

// How often somebody may try. Common practice, no source: a person who mistypes gets
// on, a program that guesses gets nowhere.
var (
	guessing = allowance{burst: 20, each: 15 * time.Second} // a password or a secret, by address
	ofOne    = allowance{burst: 10, each: 90 * time.Second} // passwords of one account, from anywhere
	mailing  = allowance{burst: 10, each: time.Minute}      // mails asked for, by address
	mailsTo  = allowance{burst: 3, each: 10 * time.Minute}  // mails to one account, from anywhere
	fetching = allowance{burst: 60, each: 10 * time.Second} // a calendar, by address
)

// limitedRoute is one route on which somebody who has not signed in may try
// something, and how often.
type limitedRoute struct {
	method, path string
	kind         string // routes of one kind count together
	address      allowance
	account      *allowance // nil: no account is named
}

// limitedRoutes is every such route. A test asks that none is missing.
var limitedRoutes = []limitedRoute{
	{http.MethodGet, "/sign-in", "secret", guessing, nil},
	{http.MethodPost, prefix + sessionsPath, "secret", guessing, nil},
	{http.MethodGet, signin.VisitPath, "secret", guessing, nil},
	{http.MethodGet, signin.LinkPath, "secret", guessing, nil},
	{http.MethodPost, signin.LinkPath, "secret", guessing, nil},
	{http.MethodPost, signin.PasswordPath, "password", guessing, &ofOne},
	{http.MethodPost, prefix + sessionsPath + "/password", "password", guessing, &ofOne},
	{http.MethodPut, prefix + "/you/password", "password", guessing, nil},
	{http.MethodPost, "/you/password", "password", guessing, nil},
	{http.MethodPost, signin.MailPath, "mail", mailing, &mailsTo},
	{http.MethodPost, prefix + sessionsPath + "/mail", "mail", mailing, &mailsTo},
	{http.MethodGet, feedPath, "calendar", fetching, nil},
}

// limitedAt is limitedRoutes by address and method. A middleware is put together anew
// for each request, so it is made once.
func limitedAt() map[string]map[string]limitedRoute {
	at := map[string]map[string]limitedRoute{}
	for _, r := range limitedRoutes {
		if at[r.path] == nil {
			at[r.path] = map[string]limitedRoute{}
		}
		at[r.path][r.method] = r
	}
	return at
}

// limits turns requests away that come too soon after too many of their kind.
func (s *Server) limits(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, limited := s.limited[c.Path()][c.Request().Method]
		if !limited {
			return next(c)
		}
		if r.method == http.MethodGet && r.path == signin.Path && c.QueryParam("secret") == "" {
			return next(c) // the page that says where a link is to be found
		}
		wait := s.limiter.take(r.kind+" from "+neighbourhood(c.RealIP()), r.address)
		if wait == 0 && r.account != nil {
			account, err := accountNamed(c.Request())
			if err != nil {
				return err
			}
			if account != "" {
				wait = s.limiter.take(r.kind+" of "+account, *r.account)
			}
		}
		if wait == 0 {
			return next(c)
		}
		s.metrics.turnedAway(c)
		c.Response().Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
		return problemOfStatus(http.StatusTooManyRequests)
	}
}

// accountField is the field that names an account when somebody signs in.
const accountField = "email"

// mostOfAccount is how much of a body is read for the account it names.
const mostOfAccount = 64 << 10

// accountNamed is a stand-in for the e-mail address that a form or JSON object names,
// however it is written; the address itself is not kept. The body stays to be read.
func accountNamed(r *http.Request) (string, error) {
	body, err := io.ReadAll(io.LimitReader(r.Body, mostOfAccount+1))
	if err != nil {
		return "", bodyProblem(err)
	}
	if len(body) > mostOfAccount {
		return "", problemOfStatus(http.StatusRequestEntityTooLarge)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	var named string
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")) // what cannot be read is no form
	switch {
	case strings.HasPrefix(kind, "multipart/"):
		return "", problemOfStatus(http.StatusUnsupportedMediaType)
	case kind == "application/x-www-form-urlencoded":
		fields, _ := url.ParseQuery(string(body)) // what can be read of it counts, as for the handler
		named = fields.Get(accountField)
	default:
		var object struct{ Email string }
		if json.Unmarshal(body, &object) == nil { // else the handler says what is wrong with it
			named = object.Email
		}
	}
	if named == "" {
		named = r.URL.Query().Get(accountField) // where a form is read, it counts too
	}
	if named = strings.ToLower(strings.TrimSpace(named)); named == "" {
		return "", nil
	}
	return fmt.Sprintf("%x", sha256.Sum256([]byte(named))), nil
}
