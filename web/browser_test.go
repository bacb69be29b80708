package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"gaugerod/scheduler"
)

// shotsDir is where the browser tests leave pictures to look at, if it is set.
var shotsDir = os.Getenv("GAUGEROD_SHOTS")

// browser is a real Chromium on the pages of a site.
type browser struct {
	*site
	t    testing.TB
	ctx  context.Context
	base string
}

// screens are the sizes on which every page is looked at.
var screens = []struct {
	name          string
	width, height int64
	phone         bool
}{{"phone", 390, 844, true}, {"desk", 1280, 900, false}}

func newBrowser(t testing.TB, s *site) *browser {
	t.Helper()
	return newBrowserOver(t, s, s.echo, 90*time.Second)
}

// newBrowserOver is one that asks what stands before the pages, for as long as it may take.
func newBrowserOver(t testing.TB, s *site, answers http.Handler, limit time.Duration) *browser {
	t.Helper()
	server := httptest.NewServer(answers)
	t.Cleanup(server.Close)
	// No sandbox: root and most containers cannot have one, and only our own pages are shown.
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("/usr/bin/chromium"), chromedp.DisableGPU, chromedp.NoSandbox,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	return &browser{site: s, t: t, ctx: ctx, base: server.URL}
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
	b.settled()
	measure[bool](b, `document.querySelectorAll(".field:not(.through)").forEach(f => f.style.maxHeight = "none") || true`)
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(shotsDir, name+".png"), png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// settled waits until all that is in view of the pictures that are scrolled through is there.
func (b *browser) settled() {
	b.t.Helper()
	still := 0
	for range 100 {
		time.Sleep(50 * time.Millisecond)
		if still++; measure[bool](b, `document.querySelector(".field[aria-busy=true]") !== null`) {
			still = 0
		}
		if still == 6 { // nothing was asked for in between
			return
		}
	}
	b.t.Error("the picture never came to rest")
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
	b.media("", scheme)
}

// media has the browser show pages as for paper ("print") or a scheme of colours.
func (b *browser) media(medium, scheme string) {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		return cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Media:    medium,
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
	})
}

// pagesToLookAt is each page once, by the name of its picture.
func pagesToLookAt(s *site) map[string]string {
	return map[string]string{
		"jobs": "/", "words": "/words", "week": s.job, "places": s.job + "/places", "whole": s.job + "/places?weeks=0", "four": s.job + "/places?weeks=4",
		"alerts": s.job + "/alerts", "orders": s.job + "/orders", "trades": s.job + "/trades", "flow": s.job + "/flow?weeks=16", "visits": s.job + "/trades-over-time", "trade": s.job + "/trades/" + someTrade(s),
		"layers": s.job + "/layers", "layerorder": s.job + "/layers/roof-skin/order?layer=underlay&after=strip", "history": s.job + "/history", "issued": s.job + "/issued", "mine": "/mine", "step": s.job + "/steps/" + someStep(s), "hold": s.job + "/steps/" + someHold(s),
		"model": s.job + "/edit", "list": s.job + "/edit/tasks", "task": s.job + "/edit/tasks/" + string(s.sheet().Job.Tasks[3].ID), "typical": s.job + "/edit/typicals/" + string(s.sheet().Job.Typicals[0].ID),
		"build-up": s.job + "/design/build-ups/" + string(s.sheet().Job.BuildUps[0].ID), "site": s.job + "/edit/site/itself", "new-job": "/new-job", "begin": s.job + "/begin",
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

// TestReleaseFromThePage releases a hold point in a browser, at both widths, and
// sees the page and the plan change.
func TestReleaseFromThePage(t *testing.T) {
	for _, screen := range screens {
		t.Run(screen.name, func(t *testing.T) {
			s := newSite(t, demo)
			hold := scheduler.ID(someHold(s))
			before := s.sheet()
			b := newBrowser(t, s)
			b.screen(screen.width, screen.height, screen.phone)
			b.open(s.job + "/steps/" + string(hold))
			b.do(chromedp.SendKeys("#release-note", "Looked at on site"))
			b.submit("#release button")

			b.has("main .said", "Released.")
			b.has("h1 .state", "released")
			after := s.sheet()
			if after.Revision != before.Revision+1 {
				t.Errorf("the revision went from %d to %d", before.Revision, after.Revision)
			}
			if state := after.Plan.FindStep(hold).State; state != scheduler.Complete {
				t.Errorf("the plan has %s as %s", hold, state)
			}
			if measure[int](b, `document.querySelectorAll("#release").length`) != 0 {
				t.Error("what is released can be released again")
			}
			b.shot(screen.name + "-released")

			b.open(s.job + "/places?only=1")
			drawn := `a[href$="steps/` + string(hold) + `"] use`
			b.do(chromedp.WaitReady(drawn)) // the page may be about to follow the new plan
			gate := measure[string](b, `document.querySelector('`+drawn+`').getAttribute("href")`)
			if gate != "#go" {
				t.Errorf("the gate is drawn as %s, not open", gate)
			}
		})
	}
}

// TestLateWordMovesThePlan tells in a browser that a delivery comes later: the
// finish on the page moves.
func TestLateWordMovesThePlan(t *testing.T) {
	s := newSite(t, demo)
	order := drivingDelivery(s)
	b := newBrowser(t, s)
	b.screen(1280, 900, false)
	b.open(s.job + "/steps/" + string(order))
	was := measure[string](b, `document.querySelector(".standing a time").dateTime`)
	later := s.sheet().Plan.FindStep(order).Start.AddDate(0, 1, 0).Format("2006-01-02")
	measure[string](b, `document.querySelector("#expect-day").value = "`+later+`"`)
	b.submit("#expect button")
	b.has("main .said", "The finish moves from")
	if is := measure[string](b, `document.querySelector(".standing a time").dateTime`); is <= was {
		t.Errorf("the finish went from %s to %s", was, is)
	}
}

// TestFaultyFormComesBack sends a form with a mistake in a browser: the problem
// stands at its field, what was typed is still there, and nothing is kept.
func TestFaultyFormComesBack(t *testing.T) {
	s := newSite(t, demo)
	hold := someHold(s)
	b := newBrowser(t, s)
	b.screen(390, 844, true)
	b.open(s.job + "/steps/" + hold)
	b.do(chromedp.SendKeys("#release-note", "Seen by a passer-by"))
	measure[string](b, `document.querySelector("#release-by").value = ""`)
	b.submit("#release button")
	b.has("#release .problem", "who")
	if note := measure[string](b, `document.querySelector("#release-note").value`); note != "Seen by a passer-by" {
		t.Errorf("the note came back as %q", note)
	}
	if s.sheet().Revision != 1 {
		t.Error("something was kept")
	}
	b.shot("phone-faulty")
}

// submit clicks a button and waits for the page that follows.
func (b *browser) submit(button string) {
	b.t.Helper()
	if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(button)); err != nil {
		b.t.Fatal(err)
	}
}

// has waits for an element and holds its words against some that it must contain.
func (b *browser) has(selector, words string) {
	b.t.Helper()
	text, err := chromedp.Run(b.ctx, chromedp.Text(selector))
	if err != nil {
		b.t.Fatal(err)
	}
	if !strings.Contains(text, words) {
		b.t.Errorf("%s says %q, not %q", selector, text, words)
	}
}

// TestDarkAndPrint looks at pages by night and on paper.
func TestDarkAndPrint(t *testing.T) {
	s := newSite(t, demo)
	b := newBrowser(t, s)
	b.screen(1280, 900, false)
	b.open(s.job + "/places")
	paper := func() string { return measure[string](b, `getComputedStyle(document.documentElement).backgroundColor`) }
	b.dark(false)
	light := paper()
	b.dark(true)
	if night := paper(); night == light {
		t.Errorf("the paper is %s by day and by night", light)
	}
	b.shot("dark-places")
	b.open(s.job)
	b.shot("dark-week")

	b.media("print", "light")
	if shown := measure[int](b, `[...document.querySelectorAll("nav, form, details:not(.folded), .do")].filter(e => e.getClientRects().length).length`); shown != 0 {
		t.Errorf("%d links and forms are printed that paper cannot follow", shown)
	}
	if lines := measure[int](b, `[...document.querySelectorAll(".folded > summary")].filter(e => e.getClientRects().length).length`); lines != 6 {
		t.Errorf("%d of the lines of the six weeks after are printed", lines)
	}
	if ink := measure[string](b, `getComputedStyle(document.body).color`); ink != "rgb(0, 0, 0)" {
		t.Errorf("it is printed in %s, not in black", ink)
	}
	b.screen(680, 960, false) // A4 without its margins
	b.shot("print-week")
	for _, page := range []string{"", "/orders", "/layers", "/alerts", "/trades", "/trades/" + someTrade(s), "/steps/" + someStep(s), "/issued", "/history", "/odds", "/edit", "/edit/tasks"} {
		b.open(s.job + page)
		if wide := measure[int](b, `document.documentElement.scrollWidth`); wide > 680 {
			t.Errorf("%s is %d px wide on a sheet of 680", page, wide)
		}
		if shown := measure[int](b, `[...document.querySelectorAll("nav, form, .do, .choose")].filter(e => e.getClientRects().length).length`); shown != 0 {
			t.Errorf("%d links and forms of %s are printed that paper cannot follow", shown, page)
		}
	}
	b.open(s.job + "/orders")
	b.shot("print-orders")
}

// TestReadmePictures renews the pictures in the README where pictures are wanted: places
// over time, and each home.
func TestReadmePictures(t *testing.T) {
	s := newSite(t, demo)
	b := newBrowser(t, s)
	b.dark(false)
	for _, picture := range []struct {
		name, path    string
		width, height int64
	}{
		{"readme", s.job + "/places?weeks=8&from=2026-06-15&only=1", 1280, 1040},
		{"readme-week", s.job, 1000, 820},
		{"readme-layers", s.job + "/layers", 1000, 820},
		{"readme-mine", "/mine", 420, 820},
	} {
		b.screen(picture.width, picture.height, false)
		b.open(picture.path)
		b.settled()
		png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if len(png) > 300_000 {
			t.Errorf("the picture %s weighs %d bytes", picture.name, len(png))
		}
		if shotsDir == "" {
			continue
		}
		if err := os.WriteFile(filepath.Join(shotsDir, picture.name+".png"), png, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
