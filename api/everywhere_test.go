package api

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"gaugerod/api/rights"
	"gaugerod/db/dbtest"
)

// everyRoute is the method and address of all routes, with something in the place of
// each name.
func (s *site) everyRoute(named string) (all [][3]string) {
	s.t.Helper()
	for _, r := range s.server.echo.Routes() {
		if slices.Contains(methods, r.Method) {
			all = append(all, [3]string{r.Method, regexp.MustCompile(`:[a-z]+|\*`).ReplaceAllString(strings.ReplaceAll(r.Path, ":job", "garden-studio"), named), r.Path})
		}
	}
	if len(all) < 60 {
		s.t.Fatalf("%d routes", len(all))
	}
	return all
}

// raw asks without a look at the document.
func (s *site) raw(method, path, body string, withs ...with) *httptest.ResponseRecorder {
	s.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Authorization", "Bearer "+s.token)
	for _, f := range withs {
		f(r)
	}
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	return w
}

func newWalk(t *testing.T) *site {
	t.Helper()
	t.Parallel()
	s := newWholeSite(t, dbtest.Open(t, time.Now)).withExample()
	s.server.limiter = newLimiter(time.Now, 1) // forgets at once
	return s
}

// TestOtherSitesCannotUseAnyRoute: no route that changes anything takes what another
// site's page sends, the ways in and out neither.
func TestOtherSitesCannotUseAnyRoute(t *testing.T) {
	s := newWalk(t)
	for _, route := range s.everyRoute("frame") {
		if route[0] == http.MethodGet {
			continue
		}
		for _, w := range []with{header("Sec-Fetch-Site", "cross-site"), header("Origin", "https://evil.example")} {
			if got := s.raw(route[0], route[1], "", w); got.Code != http.StatusForbidden || len(got.Result().Cookies()) > 0 {
				t.Errorf("%s %s: %d", route[0], route[1], got.Code)
			}
		}
	}
}

// TestEveryAnswerHasAStrictPolicy: on whatever route, signed in or not, an answer
// comes with a policy under which nothing inline runs, and no page has any of that.
func TestEveryAnswerHasAStrictPolicy(t *testing.T) {
	s := newWalk(t)
	inline := regexp.MustCompile(`(?i)<script(?:\s[^>]*)?>\s*[^<\s]|\son[a-z]+\s*=\s*"|\sstyle\s*=\s*"|<style|javascript:|<iframe|<object|<embed`)
	for _, route := range s.everyRoute("frame") {
		if strings.HasSuffix(route[2], eventsPath) {
			continue // has tests of its own
		}
		for _, w := range []with{func(*http.Request) {}, signedOut} {
			got := s.raw(route[0], route[1], "", w)
			policy := got.Header().Get("Content-Security-Policy")
			if !strings.Contains(policy, "default-src 'none'") || !strings.Contains(policy, "frame-ancestors 'none'") || strings.Contains(policy, "unsafe") {
				t.Errorf("%s %s: %d with the policy %q", route[0], route[1], got.Code, policy)
			}
			if strings.HasPrefix(got.Header().Get("Content-Type"), "text/html") {
				if found := inline.FindString(got.Body.String()); found != "" {
					t.Errorf("%s %s: %d with %q inside", route[0], route[1], got.Code, found)
				}
			}
		}
	}
}

// TestNumbersHoweverLarge: what no column of the database holds is not there or cannot be,
// in the address and in what is asked of it.
func TestNumbersHoweverLarge(t *testing.T) {
	s := newWalk(t)
	s.send("POST", trials, slip).want(http.StatusCreated)
	for _, n := range []string{"32768", "2147483648", "1099511627776", "9223372036854775807", "9223372036854775808", "-2147483649"} {
		for _, route := range s.everyRoute(n) {
			if strings.HasSuffix(route[2], eventsPath) {
				continue // has tests of its own
			}
			asked := []string{""}
			for _, name := range []string{"before", "limit", "since"} {
				asked = append(asked, "?"+name+"="+n)
			}
			if !strings.HasPrefix(route[2], prefix) {
				asked = append(asked, "?from="+n+"&days="+n+"&weeks="+n+"&strip="+n+"&moved="+n+"&trial="+n+"&before="+n)
			}
			if route[0] != http.MethodGet {
				if !strings.Contains(route[1], n) {
					continue // the session would end by one of these
				}
				asked = asked[:1]
			}
			for _, query := range asked {
				if got := s.raw(route[0], route[1]+query, ""); got.Code >= http.StatusInternalServerError {
					t.Errorf("%s %s: %d %.300s", route[0], route[1]+query, got.Code, got.Body)
				}
			}
		}
	}
	s.get(garden) // the session lasts: it was more than the door that was asked
}

// TestEveryBodyIsBounded: a body a little too large is turned away as too large, in
// one piece and in many, on every route that may have one.
func TestEveryBodyIsBounded(t *testing.T) {
	s := newWalk(t)
	for _, route := range s.everyRoute("frame") {
		if route[0] == http.MethodGet {
			continue
		}
		limit, large := bodyLimits[route[0]+" "+route[2]]
		if !large {
			limit = maxBody
		}
		body := strings.Repeat("x", int(limit)+2)
		for _, w := range []with{func(*http.Request) {}, func(r *http.Request) { r.ContentLength = -1 }} {
			got := s.raw(route[0], route[1], body, w)
			mine := strings.Contains(route[2], "/mine") && got.Code == http.StatusForbidden // of links alone: not read
			if got.Code != http.StatusRequestEntityTooLarge && !mine {
				t.Errorf("%s %s: %d for a body of %d", route[0], route[1], got.Code, len(body))
			}
			if route[1] == "/sign-out" && got.Code < 400 {
				t.Fatal("signed out")
			}
		}
	}
}

// TestLogTellsNoSecret: whatever is sent on whatever route, in the address, the
// parameters, headers, cookies or the body, is neither in the log nor in an error.
func TestLogTellsNoSecret(t *testing.T) {
	s := newWalk(t)
	const secret = "mangelwurzel"
	for _, route := range s.everyRoute("x" + secret) {
		if strings.HasSuffix(route[2], eventsPath) {
			continue
		}
		for k, body := range []string{`{"by":"` + secret + `","note":7}`, "by=" + secret + "&email=" + secret + "&password=" + secret, `{"` + secret} {
			got := s.raw(route[0], route[1]+fmt.Sprintf("?secret=%s&x%s=1", secret, secret), body,
				header("Content-Type", []string{"application/json", "application/x-www-form-urlencoded", "application/json"}[k]),
				header("If-None-Match", secret), header("User-Agent", secret), header("Cookie", "gaugerod-session="+secret), header("X-Forwarded-For", secret))
			if got.Code >= http.StatusInternalServerError {
				t.Errorf("%s %s: %d", route[0], route[1], got.Code)
			}
		}
	}
	if log := s.log.String(); strings.Contains(log, secret) {
		at := strings.Index(log, secret)
		t.Errorf("the log tells: %s", log[max(0, at-300):min(len(log), at+50)])
	}
}

// TestEveryDoorIsHeldBack: where one comes in by a secret or a password, guessing is
// held back.
func TestEveryDoorIsHeldBack(t *testing.T) {
	doors := 0
	for key, who := range rights.Service.And(rights.API, rights.Pages) {
		if !who.IsDoor() {
			continue
		}
		doors++
		if !slices.ContainsFunc(limitedRoutes, func(r limitedRoute) bool { return r.method+" "+r.path == key }) {
			t.Errorf("nobody holds back who guesses at %s", key)
		}
	}
	if doors < 8 {
		t.Errorf("%d doors", doors)
	}
}
