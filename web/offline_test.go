package web

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/labstack/echo/v4"
)

// connection is that between a browser and the service.
type connection struct {
	cut   atomic.Bool // nothing comes through
	ended atomic.Bool // the trade's link has ended
}

// through has all that is asked of a site pass through the connection.
func (l *connection) through(s *site) {
	s.echo.Pre(func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			switch {
			case l.cut.Load():
				conn, _, err := c.Response().Hijack()
				if err != nil {
					return err
				}
				return conn.Close()
			case l.ended.Load() && strings.HasPrefix(c.Request().URL.Path, "/mine"):
				return c.String(http.StatusUnauthorized, "Sign in first")
			case c.Request().URL.Path == "/sign-out":
				return c.HTML(http.StatusOK, "<h1>Signed out</h1>")
			}
			return next(c)
		}
	})
}

// kept is how many answers the browser keeps for a trade's page.
func (b *browser) kept() int {
	b.t.Helper()
	return b.promised(`(async () => { let n = 0; for (const c of await caches.keys()) n += (await (await caches.open(c)).keys()).length; return n })()`)
}

// promised waits for what an expression promises.
func (b *browser) promised(expression string) int {
	b.t.Helper()
	n, err := chromedp.Run(b.ctx, chromedp.Evaluate[int](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return n
}

// until waits for something that comes about by itself.
func (b *browser) until(what string, is func() bool) {
	b.t.Helper()
	for range 100 {
		if is() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("it never came about: %s", what)
}

// TestMineIsReadWithoutAConnection opens a trade's page, cuts the connection, and reads
// it all the same: it says from when it is, an answer is said not to be sent, and when
// the link has ended nothing of it is left in the browser.
func TestMineIsReadWithoutAConnection(t *testing.T) {
	s := newSite(t, demo)
	var link connection
	link.through(s)
	b := newBrowser(t, s)
	b.screen(390, 844, true)
	b.open("/mine")
	if measure[bool](b, `[...document.querySelectorAll("#kept, #unsent")].some(e => e.getClientRects().length > 0)`) {
		t.Error("with a connection the page says that there is none")
	}
	b.until("the page and what it is shown with are kept", func() bool { return b.kept() >= 4 })
	opening := measure[string](b, `document.querySelector(".opening").textContent`)

	link.cut.Store(true)
	b.open("/mine")
	b.has("#kept", "There is no connection. This is how it stood on")
	if again := measure[string](b, `document.querySelector(".opening").textContent`); again != opening {
		t.Errorf("without a connection it says %q, not %q", again, opening)
	}
	if family := measure[string](b, `getComputedStyle(document.querySelector("h1")).fontFamily`); !strings.Contains(family, "Georgia") {
		t.Errorf("the style did not come along: %s", family)
	}
	b.shot("phone-mine-offline")
	b.submit(`form[action$="/confirm"] button`)
	b.has("#unsent", "Not sent")

	link.cut.Store(false)
	b.open("/mine")
	if measure[bool](b, `[...document.querySelectorAll("#kept, #unsent")].some(e => e.getClientRects().length > 0)`) {
		t.Error("the connection is back, and the page says that there is none")
	}
	b.submit(`form[action$="/confirm"] button`)
	b.has("main .said", "confirmed")
	link.cut.Store(true)
	b.until("what is kept knows of the answer", func() bool {
		b.open("/mine")
		return measure[bool](b, `document.querySelector("main").textContent.includes("You have confirmed")`)
	})
	if measure[int](b, `document.querySelectorAll("main .said").length`) != 0 {
		t.Error("the thanks for an answer is kept")
	}

	link.cut.Store(false)
	link.ended.Store(true)
	b.open("/mine")
	b.until("all is forgotten", func() bool { return b.kept() == 0 })
	link.cut.Store(true)
	if err := chromedp.Do(b.ctx, chromedp.Navigate(b.base+"/mine")); err == nil || !strings.Contains(err.Error(), "net::ERR_") {
		t.Errorf("after the link has ended, the page is answered with %v", err)
	}
}

// TestSigningOutForgetsMine signs out in a browser: nothing of the page is left.
func TestSigningOutForgetsMine(t *testing.T) {
	s := newSite(t, demo)
	var link connection
	link.through(s)
	b := newBrowser(t, s)
	b.open("/mine")
	b.until("the page is kept", func() bool { return b.kept() >= 4 })
	b.submit(`form[action="/sign-out"] button`)
	b.has("h1", "Signed out")
	if n := b.kept(); n != 0 {
		t.Errorf("%d answers are still kept", n)
	}
	if n := b.promised(`navigator.serviceWorker.getRegistrations().then(r => r.length)`); n != 0 {
		t.Error("the worker is still there")
	}
}
