package signin_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"go.uber.org/goleak"

	"gaugerod/api/signin"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// clock is a clock that tests set.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func keeper() (*signin.Keeper, *clock) {
	c := &clock{time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)}
	return signin.New(c.now), c
}

func TestSecretOpensOneSession(t *testing.T) {
	k, _ := keeper()
	secret := k.NewSecret()
	if len(secret) < 43 {
		t.Fatalf("secret of %d characters: less than 32 bytes", len(secret))
	}
	token, err := k.Open(secret, "owner")
	if err != nil {
		t.Fatal(err)
	}
	if who, ok := k.Who(token); !ok || who != "owner" {
		t.Fatalf("session of %q, %v", who, ok)
	}
	if _, err := k.Open(secret, "owner"); !errors.Is(err, signin.ErrSpent) {
		t.Fatalf("the secret opened twice: %v", err)
	}
	for _, wrong := range []string{"", "guess", secret, token + "x"} {
		if who, ok := k.Who(wrong); ok {
			t.Fatalf("%q is a session of %q", wrong, who)
		}
	}
	k.End(token)
	if _, ok := k.Who(token); ok {
		t.Fatal("the session outlived its end")
	}
}

func TestLapses(t *testing.T) {
	k, c := keeper()
	old := k.NewSecret()
	c.at = c.at.Add(24 * time.Hour)
	if _, err := k.Open(old, "owner"); !errors.Is(err, signin.ErrSpent) {
		t.Fatalf("a link of yesterday opened: %v", err)
	}
	fresh := k.NewSecret()
	token, err := k.Open(fresh, "owner")
	if err != nil {
		t.Fatal(err)
	}
	c.at = c.at.Add(30*24*time.Hour - time.Second)
	if _, ok := k.Who(token); !ok {
		t.Fatal("the session ended early")
	}
	c.at = c.at.Add(time.Second)
	if _, ok := k.Who(token); ok {
		t.Fatal("the session never ends")
	}
}

// TestKeptAreBounded: whoever makes links without end does not fill the memory.
func TestKeptAreBounded(t *testing.T) {
	k, _ := keeper()
	var last string
	for range 3000 {
		last = k.NewSecret()
	}
	if _, err := k.Open(last, "owner"); err != nil {
		t.Fatalf("the newest link is lost: %v", err)
	}
	for range 3000 {
		if _, err := k.Open(k.NewSecret(), "owner"); err != nil {
			t.Fatal(err)
		}
	}
}

// site is a service with one page and one address of the API behind sign-in.
func site(k *signin.Keeper) *echo.Echo {
	e := echo.New()
	e.Use(k.Identify)
	k.Routes(e)
	hello := func(c echo.Context) error {
		return c.String(http.StatusOK, "hello "+signin.Who(c.Request().Context()))
	}
	e.Any("/page", hello, signin.RequirePage)
	e.GET("/api/thing", hello, signin.RequireAnswer)
	return e
}

func ask(e *echo.Echo, method, target string, with ...func(*http.Request)) *http.Response {
	r := httptest.NewRequest(method, target, nil)
	for _, f := range with {
		f(r)
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w.Result()
}

func TestLinkSetsACookieAndLeavesTheAddress(t *testing.T) {
	k, _ := keeper()
	e := site(k)
	link, err := url.Parse(signin.Link("http://127.0.0.1:8433", k.NewSecret()))
	if err != nil || link.Host != "127.0.0.1:8433" {
		t.Fatalf("link %v, %v", link, err)
	}
	answer := ask(e, "GET", link.RequestURI()+"&next=%2Fpage%3Fweek%3D2")
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/page?week=2" {
		t.Fatalf("%d to %q", answer.StatusCode, answer.Header.Get("Location"))
	}
	cookies := answer.Cookies()
	if len(cookies) != 1 || !cookies[0].HttpOnly || cookies[0].SameSite != http.SameSiteLaxMode || cookies[0].Secure {
		t.Fatalf("cookies %v", cookies)
	}
	signedIn := func(r *http.Request) { r.AddCookie(cookies[0]) }
	bearer := func(r *http.Request) { r.Header.Set("Authorization", "bearer "+cookies[0].Value) }
	for _, with := range []func(*http.Request){signedIn, bearer} {
		if got := ask(e, "GET", "/page", with); got.StatusCode != http.StatusOK {
			t.Fatalf("page: %d", got.StatusCode)
		}
		if got := ask(e, "GET", "/api/thing", with); got.StatusCode != http.StatusOK {
			t.Fatalf("API: %d", got.StatusCode)
		}
	}
	// Opened again in the same browser it leads on; in another it says that it is spent.
	if got := ask(e, "GET", link.RequestURI(), signedIn); got.StatusCode != http.StatusSeeOther {
		t.Fatalf("again: %d", got.StatusCode)
	}
	if got := ask(e, "GET", link.RequestURI()); got.StatusCode != http.StatusForbidden || len(got.Cookies()) != 0 {
		t.Fatalf("spent: %d, cookies %v", got.StatusCode, got.Cookies())
	}
	if got := ask(e, "GET", signin.Path, signedIn); got.StatusCode != http.StatusSeeOther {
		t.Fatalf("sign-in page when signed in: %d", got.StatusCode)
	}
	out := ask(e, "POST", "/sign-out", signedIn)
	if out.StatusCode != http.StatusSeeOther || out.Cookies()[0].MaxAge >= 0 {
		t.Fatalf("sign-out: %d, %v", out.StatusCode, out.Cookies())
	}
	if got := ask(e, "GET", "/api/thing", signedIn); got.StatusCode != http.StatusUnauthorized {
		t.Fatalf("after sign-out: %d", got.StatusCode)
	}
}

func TestSignedOut(t *testing.T) {
	k, _ := keeper()
	e := site(k)
	page := ask(e, "GET", "/page?week=2")
	if page.StatusCode != http.StatusSeeOther || page.Header.Get("Location") != "/sign-in?next=%2Fpage%3Fweek%3D2" {
		t.Fatalf("%d to %q", page.StatusCode, page.Header.Get("Location"))
	}
	if post := ask(e, "POST", "/page"); post.Header.Get("Location") != "/sign-in" {
		t.Fatalf("a post leads on to %q", post.Header.Get("Location"))
	}
	thing := ask(e, "GET", "/api/thing")
	if thing.StatusCode != http.StatusUnauthorized || thing.Header.Get("WWW-Authenticate") != "Bearer" {
		t.Fatalf("%d, %q", thing.StatusCode, thing.Header.Get("WWW-Authenticate"))
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, signin.Path, nil))
	if strings.Contains(w.Body.String(), "stylesheet") {
		t.Error("a style sheet that nobody named")
	}
	k.Style = "/static/style.css?v=7"
	w = httptest.NewRecorder()
	e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, signin.Path, nil))
	if !strings.Contains(w.Body.String(), `href="/static/style.css?v=7"`) {
		t.Errorf("no style sheet: %s", w.Body)
	}
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "prints a sign-in link") || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
}

// TestLeadsOnlyToItself: a link never leads on to another site.
func TestLeadsOnlyToItself(t *testing.T) {
	for _, next := range []string{"https://evil.example/", "//evil.example", `/\evil.example`, "evil", ""} {
		k, _ := keeper()
		answer := ask(site(k), "GET", "/sign-in?secret="+k.NewSecret()+"&next="+url.QueryEscape(next))
		if got := answer.Header.Get("Location"); got != "/" {
			t.Errorf("next %q leads to %q", next, got)
		}
	}
}

func TestSecureCookies(t *testing.T) {
	k, _ := keeper()
	k.Secure = true
	answer := ask(site(k), "GET", "/sign-in?secret="+k.NewSecret())
	if c := answer.Cookies(); len(c) != 1 || !c[0].Secure {
		t.Fatalf("cookies %v", c)
	}
}
