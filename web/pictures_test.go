package web

import (
	"maps"
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
	for _, role := range []scheduler.Role{scheduler.Owner, scheduler.TradeRole} {
		b := newBrowserOver(t, s, s.askedIn(role), 10*time.Minute)
		round := s.round(role)
		for _, route := range slices.Sorted(maps.Keys(round)) {
			name := pictureName(role, route)
			b.screen(1280, 900, false)
			b.dark(false)
			b.open(round[route])
			b.shot("light-" + name)
			b.dark(true)
			b.shot("dark-" + name)
			b.dark(false)
			b.screen(390, 844, true)
			b.shot("phone-" + name)
			b.media("print", "light")
			b.screen(680, 960, false) // A4 without its margins
			b.shot("print-" + name)
			b.media("", "light")
		}
	}
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
