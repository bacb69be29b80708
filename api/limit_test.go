package api

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// hands is a clock that tests move on.
type hands struct {
	mu sync.Mutex
	at time.Time
}

func (h *hands) now() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.at
}

func (h *hands) on(d time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.at = h.at.Add(d)
}

func newHands() *hands { return &hands{at: time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)} }

func TestLimiterLetsSoManyThroughAndThenOneAWhile(t *testing.T) {
	h := newHands()
	l := newLimiter(h.now, 10)
	may := allowance{burst: 3, each: time.Minute}
	for n := range 3 {
		if wait := l.take("a", may); wait != 0 {
			t.Fatalf("number %d waits %s", n, wait)
		}
	}
	for range 5 { // who asks too soon does not wait the longer for it
		if wait := l.take("a", may); wait != time.Minute {
			t.Fatalf("waits %s, want a minute", wait)
		}
	}
	if wait := l.take("b", may); wait != 0 {
		t.Fatalf("another waits %s", wait)
	}
	h.on(40 * time.Second)
	if wait := l.take("a", may); wait != 20*time.Second {
		t.Fatalf("waits %s, want 20 s", wait)
	}
	h.on(20 * time.Second)
	if wait := l.take("a", may); wait != 0 {
		t.Fatalf("waits %s after a minute", wait)
	}
	h.on(-24 * time.Hour) // a clock put back lets nobody in, and breaks nothing
	if wait := l.take("a", may); wait <= 0 {
		t.Fatalf("waits %s", wait)
	}
}

// TestLimiterIsBounded: however many ask, so many are remembered, and of these the
// ones who asked last.
func TestLimiterIsBounded(t *testing.T) {
	l := newLimiter(newHands().now, 100)
	may := allowance{burst: 1, each: time.Hour}
	for n := range 5000 {
		l.take(strconv.Itoa(n), may)
		if n >= 10 {
			l.take("steady", may)
		}
		if len(l.asked) > 100 || l.order.Len() != len(l.asked) {
			t.Fatalf("%d remembered, %d in order", len(l.asked), l.order.Len())
		}
	}
	if l.take("steady", may) == 0 || l.take("4990", may) == 0 {
		t.Error("who asked last was forgotten")
	}
	if l.take("17", may) != 0 {
		t.Error("who asked long ago was not")
	}
}

func TestNeighbourhood(t *testing.T) {
	for address, want := range map[string]string{
		"192.0.2.7": "192.0.2.7", "::ffff:192.0.2.7": "192.0.2.7",
		"2001:db8:1:2:3::4": "2001:db8:1:2::/64", "2001:db8:1:2:ffff::9": "2001:db8:1:2::/64", "fe80::1%eth0": "fe80::/64",
		"": "unknown", "kim": "unknown",
	} {
		if got := neighbourhood(address); got != want {
			t.Errorf("%q is of %q, want %q", address, got, want)
		}
	}
}

func from(address string) with {
	return func(r *http.Request) { r.RemoteAddr = address }
}

// tooMany asks until it is too many, and how many were let through.
func (s *site) tooMany(ask func(n int) answer) (let int, got answer) {
	s.t.Helper()
	for let = range 500 {
		if got = ask(let); got.status == http.StatusTooManyRequests {
			return let, got
		}
	}
	s.t.Fatal("500 requests went through")
	return 0, got
}

// TestGuessingIsHeldBack: secrets are guessed at so often from one address and then
// seldom, whichever way in is tried.
func TestGuessingIsHeldBack(t *testing.T) {
	s := newSite(t).counted(down{})
	h := newHands()
	s.server.limiter = newLimiter(h.now, mostLimited)
	guess := func(n int) answer {
		if n%2 == 0 {
			return s.get(fmt.Sprintf("/sign-in?secret=guess%d", n), signedOut)
		}
		return s.send("POST", "/api/sessions", fmt.Sprintf(`{"secret":"guess%d"}`, n), signedOut)
	}
	let, got := s.tooMany(guess)
	if let != guessing.burst {
		t.Errorf("%d guesses went through, want %d", let, guessing.burst)
	}
	got.problem(http.StatusTooManyRequests, "about:blank", "too many")
	if after := got.header.Get("Retry-After"); after != "15" {
		t.Errorf("Retry-After is %q", after)
	}
	secret, _, _ := strings.Cut(s.newSecret(), "&")
	s.send("POST", "/api/sessions", `{"secret":"`+secret+`"}`, signedOut).want(http.StatusTooManyRequests)
	s.send("POST", "/api/sessions", `{"secret":"`+secret+`"}`, signedOut, from("198.51.100.1:9")).want(http.StatusOK)
	s.get("/sign-in", signedOut).want(http.StatusOK) // the page itself is no guess
	s.get("/api/jobs").want(http.StatusOK)           // and who is in does not notice
	h.on(guessing.each)
	s.get("/sign-in?secret=guess", signedOut).want(http.StatusForbidden)
	s.get("/sign-in?secret=guess", signedOut).want(http.StatusTooManyRequests)
	if got := s.figure(`gaugerod_requests_limited_total{route="/sign-in"}`); got != "2" {
		t.Errorf("%s were counted as turned away", got)
	}
}

// newSecret is the secret of a link that opens a session.
func (s *site) newSecret() string {
	_, secret, _ := strings.Cut(into[LinkBody](s.send("POST", "/api/sign-in-links", "").want(http.StatusOK)).Path, "secret=")
	return secret
}

// TestSpoofedAddresses: what a request says of where it comes from helps nobody who
// is not a proxy that was named, and proxies only as far as they wrote it.
func TestSpoofedAddresses(t *testing.T) {
	s := newSite(t)
	for name, c := range map[string]struct {
		proxies []string
		peer    string
		spoof   func(n int) string
		held    bool
	}{
		"nobody is believed":            {nil, "192.0.2.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d", n) }, true},
		"not even this machine":         {nil, "127.0.0.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d", n) }, true},
		"another than the proxy":        {[]string{"10.1.0.0/16"}, "10.2.0.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d", n) }, true},
		"through the proxy":             {[]string{"10.1.0.0/16"}, "10.1.0.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d", n) }, false},
		"made up before the proxy":      {[]string{"10.1.0.1"}, "10.1.0.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d, 198.51.100.7", n) }, true},
		"rubbish before the proxy":      {[]string{"10.1.0.1"}, "10.1.0.1:1", func(n int) string { return fmt.Sprintf("kim%d, 198.51.100.7", n) }, true},
		"pretending to be behind two":   {[]string{"10.1.0.0/16"}, "10.1.0.1:1", func(n int) string { return fmt.Sprintf("203.0.113.%d, 198.51.100.7, 10.1.0.9", n) }, true},
		"a proxy of the sixth version":  {[]string{"2001:db8::/32"}, "[2001:db8::1]:1", func(n int) string { return fmt.Sprintf("203.0.113.%d", n) }, false},
		"one network has one allowance": {[]string{"10.1.0.1"}, "10.1.0.1:1", func(n int) string { return fmt.Sprintf("2001:db8:7:7::%x", n) }, true},
	} {
		t.Run(name, func(t *testing.T) {
			s := s.of(t)
			var err error
			if s.server.proxies, err = readProxies(c.proxies); err != nil {
				t.Fatal(err)
			}
			s.server.echo.IPExtractor = s.server.proxies.whereFrom()
			s.server.limiter = newLimiter(newHands().now, mostLimited)
			held := false
			for n := range 2 * guessing.burst {
				got := s.get("/sign-in?secret=guess", signedOut, from(c.peer), header("X-Forwarded-For", c.spoof(n)),
					header("X-Real-IP", c.spoof(n)), header("Forwarded", "for="+c.spoof(n)))
				held = held || got.status == http.StatusTooManyRequests
			}
			if held != c.held {
				t.Errorf("held back: %v, want %v", held, c.held)
			}
		})
	}
}

func TestProxiesThatAreNone(t *testing.T) {
	for _, text := range []string{"kim", "10.0.0.0/33", "0.0.0.0/0", "::/0", ""} {
		if _, err := readProxies([]string{text}); err == nil {
			t.Errorf("%q went through", text)
		}
	}
	if all, err := readProxies([]string{"10.0.0.1", " 10.2.0.0/16", "2001:db8::1"}); err != nil || len(all) != 3 {
		t.Errorf("%v, %v", all, err)
	}
	if _, err := New(Parts{Config: Config{Proxies: []string{"everybody"}}}); err == nil {
		t.Error("a server with a proxy that is none")
	}
}

// TestAccountNamed: however a form or an object names an account, it is the same one,
// and the body is still there.
func TestAccountNamed(t *testing.T) {
	named := func(kind, target, body string) string {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, target, strings.NewReader(body))
		r.Header.Set("Content-Type", kind)
		who, err := accountNamed(r)
		if err != nil {
			t.Fatal(err)
		}
		left := make([]byte, len(body)+1)
		if n, _ := r.Body.Read(left); string(left[:n]) != body {
			t.Errorf("of the body is left %q, want %q", left[:n], body)
		}
		return who
	}
	const form, object = "application/x-www-form-urlencoded", "application/json"
	want := named(form, "/", "email=kim%40site.example&password=x")
	if want == "" || strings.Contains(want, "kim") {
		t.Fatalf("named %q", want)
	}
	for _, got := range []string{
		named(form+"; charset=utf-8", "/", "password=x&email=+Kim%40Site.Example+"), named(object, "/", `{"email":"KIM@site.example"}`),
		named(object, "/", `{"password":"y","Email":"kim@site.example"}`), named("", "/", `{"email":"kim@site.example"}`),
		named(form, "/?email=kim@site.example", "password=x"),
	} {
		if got != want {
			t.Errorf("%q is another than %q", got, want)
		}
	}
	for _, got := range []string{named(form, "/", "email=bo%40site.example"), named(object, "/", `{"email":`), named(object, "/", ``), named(form, "/", "%zz&;")} {
		if got == want {
			t.Error("another is the same")
		}
	}
	r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(strings.Repeat("x", mostOfAccount+1)))
	if _, err := accountNamed(r); ProblemOf(err).Status != http.StatusRequestEntityTooLarge {
		t.Errorf("a huge form: %v", err)
	}
	r = httptest.NewRequest(http.MethodPost, "/", strings.NewReader("x"))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	if _, err := accountNamed(r); ProblemOf(err).Status != http.StatusUnsupportedMediaType {
		t.Errorf("a form in parts: %v", err)
	}
}
