package web

import (
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// TestPictures leaves a picture of a page of each kind: by day and by night on a desk, on
// a phone, and as it is printed. make pictures has them made.
func TestPictures(t *testing.T) {
	if shotsDir == "" {
		t.Skip("pictures are made where GAUGEROD_SHOTS names a folder for them (make pictures)")
	}
	s := newSite(t, demo)
	look := func(b *browser, name, path string) {
		b.screen(1280, 900, false)
		b.dark(false)
		b.open(path)
		b.shot("light-" + name)
		b.dark(true)
		b.shot("dark-" + name)
		b.dark(false)
		b.screen(390, 844, true)
		b.open(path) // where a picture begins goes by the screen
		b.shot("phone-" + name)
	}
	onPaper := func(b *browser, name string) {
		b.media("print", "light")
		b.screen(680, 960, false) // A4 without its margins
		measure[bool](b, `dispatchEvent(new Event("beforeprint"))`)
		b.shot("print-" + name)
		measure[bool](b, `dispatchEvent(new Event("afterprint"))`)
		b.media("", "light")
	}
	for _, role := range []scheduler.Role{scheduler.Owner, scheduler.TradeRole} {
		b := newBrowserOver(t, s, s.askedIn(role), 10*time.Minute)
		round := s.round(role)
		for _, route := range slices.Sorted(maps.Keys(round)) {
			look(b, pictureName(role, route), round[route])
			onPaper(b, pictureName(role, route))
		}
	}
	b := newBrowser(t, s)
	for name, path := range map[string]string{
		"places-a-day": "/places?days=1", "places-whole": "/places?weeks=0", "places-waits": "/places?step=" + someStep(s), "flow-whole": "/flow?weeks=0",
		"layer-order": "/layers/roof-skin/order?layer=underlay&after=strip",
	} {
		look(b, name, s.job+path)
	}
	// What is there only once something has been done.
	s, at := beginTrial(t)
	b = newBrowser(t, s)
	late := url.Values{"what": {"expected"}, "step": {delivery(t, s)}, "day": {"2026-10-30"}}
	look(b, "trial-looked-at", at+"?"+late.Encode())
	s.mustPost(at+"/add", late)
	look(b, "trial", at)
	onPaper(b, "trial")
	s.mustPost(at+"/adopt", s.hiddenFields(at, "/trials/1/adopt"))
	look(b, "alerts", s.job+"/alerts")
}

// pictureName is a route as the name of a file: "owner-jobs-job-steps-step".
func pictureName(role scheduler.Role, route string) string {
	switch route {
	case "/":
		route = "jobs"
	case "/jobs/:job":
		route = "week"
	}
	return string(role) + "-" + strings.Trim(regexp.MustCompile(`[^a-z]+`).ReplaceAllString(strings.TrimPrefix(route, "/jobs/:job"), "-"), "-")
}
