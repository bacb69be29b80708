package signin_test

import (
	"crypto/tls"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

func bearing(token string) *http.Request {
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Header.Set("Authorization", "bearer "+token)
	return r
}

// site is the sign-in pages and one page that says who asks.
func (h *house) site() *echo.Echo {
	e := echo.New()
	e.Use(func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			v, err := h.Identify(c.Request(), "")
			if err != nil {
				return err
			}
			c.SetRequest(c.Request().WithContext(signin.With(c.Request().Context(), v)))
			return next(c)
		}
	})
	h.Routes(e)
	e.GET("/page", func(c echo.Context) error {
		return c.String(http.StatusOK, "hello "+signin.From(c.Request().Context()).Name)
	})
	return e
}

// browser keeps cookies as a browser does.
type browser struct {
	t      *testing.T
	site   *echo.Echo
	jar    map[string]*http.Cookie
	secure bool
}

func (h *house) browser() *browser {
	return &browser{t: h.t, site: h.site(), jar: map[string]*http.Cookie{}}
}

func (b *browser) ask(method, target string, form url.Values) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest(method, target, strings.NewReader(form.Encode()))
	r.Header.Set("User-Agent", "Mozilla/5.0 (Android 14; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0")
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if b.secure {
		r.TLS = &tls.ConnectionState{}
	}
	for _, c := range b.jar {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	b.site.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if c.MaxAge < 0 {
			delete(b.jar, c.Name)
			continue
		}
		if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != b.secure {
			b.t.Errorf("%s %s sets %v", method, target, c)
		}
		b.jar[c.Name] = c
	}
	return w
}

// leads fails unless an answer leads to an address.
func leads(t *testing.T, w *httptest.ResponseRecorder, to string) {
	t.Helper()
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != to {
		t.Fatalf("%d to %q, want it to lead to %q: %s", w.Code, w.Header().Get("Location"), to, w.Body)
	}
	if w.Header().Get("Referrer-Policy") != "no-referrer" || w.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("what follows hears where it was come from, or it is kept: %v", w.Header())
	}
}

func says(t *testing.T, w *httptest.ResponseRecorder, status int, words ...string) {
	t.Helper()
	if w.Code != status {
		t.Fatalf("status %d, want %d: %s", w.Code, status, w.Body)
	}
	for _, word := range words {
		if !strings.Contains(w.Body.String(), word) {
			t.Errorf("no word of %q: %s", word, w.Body)
		}
	}
}

func (b *browser) isSignedIn(as string) {
	b.t.Helper()
	says(b.t, b.ask("GET", "/page", nil), http.StatusOK, "hello "+as)
}

func TestPrintedLinkSetsACookieAndLeavesTheAddress(t *testing.T) {
	h := newHouse(t)
	b := h.browser()
	link, err := url.Parse(signin.Link("http://127.0.0.1:8433", h.printed()))
	if err != nil || link.Host != "127.0.0.1:8433" {
		t.Fatalf("link %v, %v", link, err)
	}
	leads(t, b.ask("GET", link.RequestURI()+"&next=%2Fpage%3Fweek%3D2", nil), "/page?week=2")
	b.isSignedIn("owner")
	if v := h.asker(h.Keeper, b.jar["gaugerod-session"].Value); v.Name != "owner" {
		t.Errorf("the cookie's value is not a token: %+v", v)
	}
	// Opened again in the same browser it leads on; in another it says that it is spent.
	leads(t, b.ask("GET", link.RequestURI(), nil), "/")
	other := h.browser()
	says(t, other.ask("GET", link.RequestURI(), nil), http.StatusForbidden, "is spent")
	if len(other.jar) > 0 {
		t.Errorf("a spent link sets %v", other.jar)
	}
	leads(t, b.ask("GET", "/sign-in", nil), "/")
	gone := b.jar["gaugerod-session"]
	if w := b.ask("POST", "/sign-out", nil); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/sign-in" || w.Header().Get("Clear-Site-Data") != `"storage"` || len(b.jar) > 0 {
		t.Fatalf("sign-out: %d, %v", w.Code, b.jar)
	}
	b.jar[gone.Name] = gone
	if w := b.ask("GET", "/page", nil); w.Body.String() != "hello " {
		t.Errorf("after sign-out: %s", w.Body)
	}
}

// TestOneTimeLinkIsSpentByTheButton: whoever only looks at the link spends nothing.
func TestOneTimeLinkIsSpentByTheButton(t *testing.T) {
	h := newHouse(t)
	kim := h.somebody("Kim", "kim@people.example", scheduler.Reader)
	secret, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 { // a mail program looks at it
		scanner := h.browser()
		leads(t, scanner.ask("GET", "/sign-in?secret="+secret, nil), "/sign-in/link?next=%2F")
		says(t, scanner.ask("GET", "/sign-in/link?next=%2F", nil), http.StatusOK)
	}
	b := h.browser()
	leads(t, b.ask("GET", "/sign-in?secret="+secret+"&next=/page", nil), "/sign-in/link?next=%2Fpage")
	page := b.ask("GET", "/sign-in/link?next=%2Fpage", nil)
	says(t, page, http.StatusOK, "Sign in as Kim", `method="post" action="/sign-in/link"`, `value="/page"`)
	if strings.Contains(page.Body.String(), secret) {
		t.Error("the secret stands in the page")
	}
	leads(t, b.ask("POST", "/sign-in/link", url.Values{"next": {"/page"}}), "/page")
	b.isSignedIn("Kim")
	if len(b.jar) != 1 {
		t.Errorf("the secret is still in a cookie: %v", b.jar)
	}
	says(t, h.browser().ask("GET", "/sign-in?secret="+secret, nil), http.StatusForbidden, "is spent")
	says(t, h.browser().ask("POST", "/sign-in/link", url.Values{}), http.StatusForbidden, "is spent")
	says(t, h.browser().ask("GET", "/sign-in/link", nil), http.StatusForbidden, "is spent")
	sessions, err := h.store.Sessions(t.Context(), kim.ID)
	if err != nil || len(sessions) != 1 || sessions[0].Device != "Firefox on Android" {
		t.Errorf("sessions %+v, %v", sessions, err)
	}
}

func TestVisitOfATrade(t *testing.T) {
	h := newHouse(t)
	_, secret, calendar := h.tradeLink()
	b := h.browser()
	leads(t, b.ask("GET", "/visit?secret="+secret, nil), "/mine")
	b.isSignedIn("Gang of three")
	first := b.jar["gaugerod-session"].Value
	leads(t, b.ask("GET", "/visit?secret="+secret, nil), "/mine") // tapped again
	if !h.asker(h.Keeper, first).Nobody() {
		t.Error("each tap leaves a session behind")
	}
	for _, wrong := range []string{"", "guess", calendar} {
		says(t, h.browser().ask("GET", "/visit?secret="+wrong, nil), http.StatusForbidden, "has lapsed or was never made")
	}
	// Who has signed in with an account is asked first: a link does not put anybody out.
	owner := h.browser()
	leads(t, owner.ask("GET", "/sign-in?secret="+h.printed(), nil), "/")
	leads(t, owner.ask("GET", "/visit?secret="+secret, nil), "/sign-in/link?next=%2Fmine")
	owner.isSignedIn("owner")
	says(t, owner.ask("GET", "/sign-in/link?next=%2Fmine", nil), http.StatusOK, "private link of Gang of three", "owner, is signed out", "Open it")
	leads(t, owner.ask("POST", "/sign-in/link", url.Values{"next": {"/mine"}}), "/mine")
	owner.isSignedIn("Gang of three")
}

func TestSignInPageShowsTheWaysThatAreOn(t *testing.T) {
	h := newHouse(t)
	b := h.browser()
	page := b.ask("GET", "/sign-in", nil)
	says(t, page, http.StatusOK, "prints a sign-in link", "With a password")
	for _, absent := range []string{"stylesheet", "Mail me a link"} {
		if strings.Contains(page.Body.String(), absent) {
			t.Errorf("%q, which nobody set up", absent)
		}
	}
	if w := b.ask("POST", "/sign-in/mail", url.Values{"email": {"kim@people.example"}}); w.Code != http.StatusNotFound {
		t.Errorf("without mail a link was asked for: %d", w.Code)
	}
	h.Mailer = &post{}
	h.Style = "/static/style.css?v=7"
	says(t, b.ask("GET", "/sign-in?next=%2Fpage", nil), http.StatusOK, "Mail me a link", `href="/static/style.css?v=7"`, `value="/page"`)
}

// TestLeadsOnlyToItself: no way in leads on to another site.
func TestLeadsOnlyToItself(t *testing.T) {
	h := newHouse(t)
	for _, next := range []string{"https://evil.example/", "//evil.example", `/\evil.example`, "/\t/evil.example", "evil", ""} {
		leads(t, h.browser().ask("GET", "/sign-in?secret="+h.printed()+"&next="+url.QueryEscape(next), nil), "/")
	}
}

func TestCookiesOverTLS(t *testing.T) {
	h := newHouse(t)
	b := h.browser()
	b.secure = true
	leads(t, b.ask("GET", "/sign-in?secret="+h.printed(), nil), "/")
	c := b.jar["__Host-gaugerod-session"]
	if c == nil || !c.Secure {
		t.Fatalf("cookies %v", b.jar)
	}
	b.isSignedIn("owner")
	// One without the prefix may come from another host of the site: it does not count.
	other := h.browser()
	other.secure = true
	other.jar["gaugerod-session"] = &http.Cookie{Name: "gaugerod-session", Value: c.Value}
	if w := other.ask("GET", "/page", nil); w.Body.String() != "hello " {
		t.Errorf("a cookie without its prefix: %s", w.Body)
	}
	h.Secure = true // behind a proxy that ends TLS
	r := httptest.NewRequest(http.MethodGet, "/sign-in?secret="+h.printed(), nil)
	w := httptest.NewRecorder()
	h.site().ServeHTTP(w, r)
	if cs := w.Result().Cookies(); len(cs) == 0 || !cs[len(cs)-1].Secure {
		t.Errorf("cookies %v", cs)
	}
}

func TestDevice(t *testing.T) {
	for sent, want := range map[string]string{
		"Mozilla/5.0 (Android 14; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0":                                                                    "Firefox on Android",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Mobile/15E148 Safari/604.1": "Safari on iPhone",
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36 Edg/140.0.0.0":           "Edge on Windows",
		"Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36":                         "Chrome on Android",
		"Mozilla/5.0 (X11; Linux x86_64) Something/1.0":                                                                                           "a program on Linux",
		"curl/8.5.0": "curl", "": "an unknown device", "<script>": "an unknown device",
	} {
		if got := signin.Device(sent); got != want {
			t.Errorf("%q is %q, want %q", sent, got, want)
		}
	}
}
