package web

import (
	"net/http"
	"strings"
	"testing"
)

// question is what somebody asks every week, and where the answer stands: the links to
// follow from where they begin, by what their address begins or ends with, and the place
// on the page that is reached then.
type question struct {
	asks  string
	taps  []string
	place string
}

// The questions of owner and site lead, from the page of the week on.
var askedOfTheWeek = []question{
	{"What must I decide this week, and what stops if I do not?", nil, "#decisions"},
	{"Which orders must go out in the next four weeks, and by when?", nil, "#order"},
	{"Which drawings and stages of orders come next, and by when?", []string{"/orders"}, ".stages"},
	{"When is the finish, and how sure is that?", nil, ".opening"},
	{"What has moved since the plan was sent out?", []string{"/issued"}, "main"},
	{"What will be hidden this week that has to be seen first?", nil, "#covers"},
	{"What lies on the site too early?", []string{"/alerts"}, ".alert"},
	{"Which inspections are booked and which are not?", nil, "#gates"},
	{"Which layers can still be reached?", []string{"/layers"}, "svg"},
	{"How much slack is left in this work?", []string{"/steps/"}, "#dates"},
	{"What would have to change for this to be earlier?", []string{"/steps/"}, "#earlier"},

	{"Who is on site each day, where, and doing what?", nil, "#days"},
	{"Is everything ready for next week?", []string{"week="}, "#ahead"},
	{"What stops work, and who is to be chased?", nil, "#stops"},
	{"What may not be covered yet?", nil, "#covers"},
	{"Which hold points fall in the next weeks, and when must I call?", nil, "#gates"},
	{"What arrives, when, where does it go, who receives it?", nil, "#arrivals"},
	{"Which clocks run?", nil, "#clocks"},
	{"What was done out of order?", []string{"/alerts"}, ".alert"},
	{"What was promised last week, what was kept, why not?", nil, "#promises"},
	{"Who comes in the six weeks after?", nil, "#weeks"},
}

// The questions of a trade, on its own page.
var askedByATrade = []question{
	{"When is my window: the first day and the last?", nil, ".window .four"},
	{"What must be ready before I come?", nil, ".window .ready"},
	{"What must I leave open or not cover?", nil, ".window .unseen"},
	{"What is still to come of mine?", nil, "#later"},
	{"How do I get it into my calendar?", nil, "#calendar"},
}

// TestWeeklyQuestionsAreTwoTapsAway follows the links to each answer and reads it.
//
// Not answered by any page, because the model does not hold it: what a changed window
// costs, odds of a date, which revision of a drawing counts, where to park and unload,
// and which work rain would stop that other work could take the place of.
func TestWeeklyQuestionsAreTwoTapsAway(t *testing.T) {
	s := newSite(t, demo)
	for from, all := range map[string][]question{s.job: askedOfTheWeek, "/mine": askedByATrade} {
		for _, q := range all {
			if len(q.taps) > 2 {
				t.Errorf("%s takes %d taps", q.asks, len(q.taps))
			}
			path := from
			for _, tap := range q.taps {
				path = s.follow(path, tap)
			}
			w, doc := s.get(path)
			if w.Code != http.StatusOK {
				t.Errorf("%s: %s is answered with %d", q.asks, path, w.Code)
				continue
			}
			place := find(doc, q.place)
			if len(place) == 0 {
				t.Errorf("%s: %s has no %s", q.asks, path, q.place)
			} else if words := strings.TrimSpace(text(place[0])); len(words) < 20 && q.place != "svg" {
				t.Errorf("%s: at %s of %s it says %q", q.asks, q.place, path, words)
			}
		}
	}
}

// follow is where the first link of a page leads whose address has a part.
func (s *site) follow(path, part string) string {
	s.t.Helper()
	_, doc := s.get(path)
	for _, href := range links(s.t, path, doc) {
		page, _, _ := strings.Cut(href, "#")
		if strings.Contains(page, part) && page != path {
			return page
		}
	}
	s.t.Fatalf("%s has no link to %s", path, part)
	return ""
}
