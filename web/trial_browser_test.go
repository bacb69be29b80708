package web

import (
	"net/url"
	"testing"
)

// TestATrialShowsWhatMovesWhileADayIsChosen in a real browser, at both widths: choosing
// a day shows what it would move without anything being added; the page fits.
func TestATrialShowsWhatMovesWhileADayIsChosen(t *testing.T) {
	s, at := beginTrial(t)
	step := delivery(t, s)
	b := newBrowser(t, s)
	for _, screen := range screens {
		b.screen(screen.width, screen.height, screen.phone)
		b.open(at)
		b.has("#effect", "No day moves.")
		measure[string](b, `(() => {
			const form = document.querySelector("form[data-try]");
			form.closest("details").open = true;
			form.elements.step.value = "`+step+`";
			form.elements.day.value = "2026-10-30";
			form.elements.day.dispatchEvent(new Event("input", { bubbles: true }));
			return "";
		})()`)
		b.until("the page shows what would move", func() bool {
			return measure[bool](b, `document.querySelector("#effect").textContent.includes("The finish moves from")`)
		})
		b.has("#changes", "Nothing yet.")
		b.shot(screen.name + "-trial-looking")
	}
	s.mustPost(at+"/add", url.Values{"what": {"expected"}, "step": {step}, "day": {"2026-10-30"}})
	for _, screen := range screens {
		b.screen(screen.width, screen.height, screen.phone)
		b.open(at)
		if over := measure[[]string](b, tooWide); len(over) > 0 {
			t.Errorf("%s: wider than the screen: %v", screen.name, over)
		}
		b.shot(screen.name + "-trial")
	}
}
