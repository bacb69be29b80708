package web

import (
	"maps"
	"slices"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// unread tells what of a page cannot be read: no heading to be seen, no words, something
// still on its way, a picture with nothing drawn in it.
const unread = `(() => {
	const seen = e => e && e.getClientRects().length > 0, main = document.querySelector("main"), wrong = [];
	if (!seen(document.querySelector("h1"))) wrong.push("no heading");
	if (main.innerText.trim().length < 30) wrong.push("no words: " + main.innerText.trim());
	if (document.querySelector("[aria-busy=true]")) wrong.push("something is awaited");
	for (const field of document.querySelectorAll(".field")) if (!field.querySelector("svg path, svg use, svg line")) wrong.push("an empty picture");
	return wrong;
})()`

// TestPagesAreReadWithoutScript opens a page of each kind in each role with script off: the
// owner's and the trade's on a phone by night, with GAUGEROD_ROLES=all (make soak) the
// others' and a desk by day too.
func TestPagesAreReadWithoutScript(t *testing.T) {
	s := newSite(t, demo)
	for _, role := range everyRole {
		if !allRoles() && role != scheduler.Owner && role != scheduler.TradeRole {
			continue // make soak
		}
		t.Run(string(role), func(t *testing.T) {
			pages := s.round(role)
			if len(pages) < 2 {
				t.Fatalf("only %v", pages)
			}
			b := newBrowserOver(t, s, s.askedIn(role), 5*time.Minute)
			b.script(false)
			for k, screen := range screens {
				if k > 0 && !allRoles() {
					break
				}
				b.screen(screen.width, screen.height, screen.phone)
				b.dark(screen.phone)
				for _, path := range slices.Sorted(maps.Values(pages)) {
					b.open(path)
					if wrong := append(measure[[]string](b, unread), measure[[]string](b, tooWide)...); len(wrong) > 0 {
						t.Errorf("%s, %s: %q", path, screen.name, wrong)
					}
				}
			}
		})
	}
}
