package web

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"gaugerod/scheduler"
)

// axeSource is the script of axe-core (MPL-2.0), which deploy/need fetches outside the
// repository. Where it cannot be had the test is skipped, and says so.
func axeSource(t *testing.T) string {
	t.Helper()
	file := os.Getenv("GAUGEROD_AXE")
	if file == "" {
		cache, err := os.UserCacheDir()
		if err != nil {
			t.Skip("No folder to look for axe-core in: ", err)
		}
		file = filepath.Join(cache, "gaugerod", "npm", "node_modules", "axe-core", "axe.min.js")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Skip("Nothing is held against axe-core, which is not here (make axe fetches it through npm): ", err)
	}
	return string(text)
}

// axeRun has axe-core look at the page by every rule of WCAG 2.2 A and AA and its own
// good practice, and gives what it finds, an element a line.
const axeRun = `axe.run(document, {resultTypes: ["violations"], runOnly: RULES}).then(r =>
	r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.target.join(" ") + ": " + n.html.slice(0, 160) + " " + n.any.concat(n.all, n.none).map(c => c.message).join("; "))))`

const (
	axeAll     = `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]`
	axeColours = `{type: "rule", values: ["color-contrast"]}`
)

// TestAxeFindsNothing opens a page of each kind in each role and has axe-core look at it:
// the owner's, who has all there is on them, and the trade's, for a phone by night and a
// desk by day, each by every rule. With GAUGEROD_ROLES=all (make soak) the phone by day and
// the desk by night too, where only colours can differ, and the others' pages, on which
// some of that is missing.
func TestAxeFindsNothing(t *testing.T) {
	source := axeSource(t)
	s := newSite(t, demo)
	looked := map[string]bool{}
	for _, role := range everyRole {
		inFull := role == scheduler.Owner || role == scheduler.TradeRole
		if !inFull && !allRoles() {
			continue // make soak
		}
		t.Run(string(role), func(t *testing.T) {
			b := newBrowserOver(t, s, s.askedIn(role), 5*time.Minute)
			pages := map[string]string{}
			maps.Copy(pages, s.round(role))
			if role == scheduler.Owner {
				maps.Copy(pages, pagesToLookAt(s))
				delete(pages, "mine") // the link's own
			}
			looks := bothLooks
			switch {
			case !inFull:
				looks = onceLook
			case allRoles():
				looks = everyLook
			}
			for _, path := range slices.Compact(slices.Sorted(maps.Values(pages))) {
				looked[path] = true
				b.axe(source, path, looks)
			}
		})
	}
	if len(looked) < 12 {
		t.Errorf("only %d pages were looked at", len(looked))
	}
}

// look is one way of looking at a page: screens[k], by day or by night, by these rules.
type look struct {
	screen int
	dark   bool
	rules  string
}

var (
	everyLook = []look{{0, false, axeAll}, {0, true, axeColours}, {1, false, axeAll}, {1, true, axeColours}}
	bothLooks = []look{{0, true, axeAll}, {1, false, axeAll}}
	onceLook  = []look{{0, true, axeAll}}
)

// axe looks at one page.
func (b *browser) axe(source, path string, looks []look) {
	b.t.Helper()
	b.open(path)
	b.do(chromedp.Evaluate[chromedp.Void](source))
	for _, l := range looks {
		screen := screens[l.screen]
		b.screen(screen.width, screen.height, screen.phone)
		b.dark(l.dark)
		b.do(chromedp.Evaluate[chromedp.Void]("var RULES = " + l.rules))
		found, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]string](axeRun, chromedp.EvalAwaitPromise))
		if err != nil {
			b.t.Fatal(path, err)
		}
		for _, line := range found {
			b.t.Errorf("%s, %s, dark %v: %s", path, screen.name, l.dark, line)
		}
	}
}
