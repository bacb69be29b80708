package web

import (
	"context"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// shotsDir is where the browser tests leave pictures to look at, if it is set.
var shotsDir = os.Getenv("GAUGEROD_SHOTS")

// browser is a real Chromium on the pages of a site.
type browser struct {
	*site
	ctx  context.Context
	base string
}

// screens are the sizes on which every page is looked at.
var screens = []struct {
	name          string
	width, height int64
	phone         bool
}{{"phone", 390, 844, true}, {"desk", 1280, 900, false}}

func newBrowser(t *testing.T, s *site) *browser {
	t.Helper()
	server := httptest.NewServer(s.echo)
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("/usr/bin/chromium"), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 90*time.Second)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	return &browser{site: s, ctx: ctx, base: server.URL}
}

func (b *browser) do(a chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, a); err != nil {
		b.t.Fatal(err)
	}
}

func (b *browser) screen(width, height int64, phone bool) {
	b.t.Helper()
	var options []chromedp.EmulateViewportOption
	if phone {
		options = append(options, chromedp.EmulateMobile)
	}
	b.do(chromedp.EmulateViewport(width, height, options...))
}

func (b *browser) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.base + path))
}

// shot keeps a picture of the whole page.
func (b *browser) shot(name string) {
	b.t.Helper()
	if shotsDir == "" {
		return
	}
	measure[bool](b, `document.querySelectorAll(".field").forEach(f => f.style.maxHeight = "none") || true`)
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(shotsDir, name+".png"), png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// measure evaluates an expression in the page.
func measure[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}

func (b *browser) dark(on bool) {
	b.t.Helper()
	scheme := "light"
	if on {
		scheme = "dark"
	}
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		return cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
	})
}

// pagesToLookAt is each page once, by the name of its picture.
func pagesToLookAt(s *site) map[string]string {
	return map[string]string{
		"jobs": "/", "words": "/words", "week": s.job, "places": s.job + "/places", "whole": s.job + "/places?weeks=0", "four": s.job + "/places?weeks=4",
		"alerts": s.job + "/alerts", "orders": s.job + "/orders", "trades": s.job + "/trades", "trade": s.job + "/trades/" + someTrade(s),
		"layers": s.job + "/layers", "history": s.job + "/history", "step": s.job + "/steps/" + someStep(s), "hold": s.job + "/steps/" + someHold(s),
	}
}

// TestPagesFitTheirScreens opens every page in a browser at the width of a phone
// and of a desk: nothing but what lies in a box of its own may be wider than the
// screen, and nothing may be refused by the page's own policy.
func TestPagesFitTheirScreens(t *testing.T) {
	s := newSite(t, demo)
	b := newBrowser(t, s)
	for _, screen := range screens {
		b.screen(screen.width, screen.height, screen.phone)
		for name, path := range pagesToLookAt(s) {
			b.open(path)
			if over := measure[[]string](b, tooWide); len(over) > 0 {
				t.Errorf("%s, %s: wider than the screen: %s", name, screen.name, strings.Join(over, ", "))
			}
			if n := measure[int](b, `document.styleSheets.length`); n != 1 {
				t.Errorf("%s: %d style sheets were loaded", name, n)
			}
			b.shot(screen.name + "-" + name)
		}
	}
}

// tooWide lists the elements that stick out of the screen and lie in no box that scrolls.
const tooWide = `[...document.querySelectorAll("body *")].filter(e => {
	const r = e.getBoundingClientRect();
	return r.width > 0 && r.right > document.documentElement.clientWidth + 1 && !e.closest(".scroll, .field, .skip");
}).map(e => e.tagName + "." + (e.className.baseVal ?? e.className) + " " + e.textContent.slice(0, 30))`
