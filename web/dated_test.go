package web

import (
	"net/http/httptest"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"gaugerod/scheduler"
)

// noChain is what a day may be that leads to no chain, each with the reason.
var noChain = map[given]string{
	asOfDay:     "a person or the clock says from which day the plan is made; nothing holds it there",
	spanDay:     "the first or last day of what a page shows is chosen by its reader",
	statedDay:   "a person wrote it into the job, and it is listed there to be changed",
	dueDay:      "a person wants it by then; the day planned for it stands beside it and leads to its chain",
	promisedDay: "it was agreed with a trade or is its own word; where it stands now is beside it and leads to its chain",
	recordedDay: "something was done in Gaugerod then",
	formerDay:   "the plan before had it so; the chain that is kept is that of today's plan",
	likelyDay:   "it is counted over many tries of the plan, each with a chain of its own",
	triedDay:    "the plan of a trial is looked at and not kept; adopted, its days lead to their chains",
}

// dayInWords is a day in the words of the pages.
var dayInWords = regexp.MustCompile(`\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b`)

// besides are where days may stand in running text, each with the reason.
var besides = map[string]string{
	"svg":      "in a drawing the block or sign with the day is itself the link, or the day is a mark of the scale",
	"option":   "what can be chosen in a form cannot hold a link",
	"del":      "the history shows what was written before a change",
	"ins":      "the history shows what was written by a change",
	".printed": "the head of a sheet of paper, where nothing can be pressed",
	".calls":   "a sentence to be read out, with all that has moved as a table under it",
}

// TestEveryDayOpensItsChain goes over all pages and asks of each day that was worked out
// that it leads to what holds it there, and of each other one that it says what it is.
func TestEveryDayOpensItsChain(t *testing.T) {
	s := slipped(t)
	days, chained := map[given]int{}, 0
	look := func(page string, _ *httptest.ResponseRecorder, doc *html.Node) {
		for n := range find(doc, "body")[0].Descendants() {
			switch {
			case n.Type == html.ElementNode && n.Data == "time" && has(n, "data-of"):
				of := given(attr(n, "data-of"))
				if days[of]++; noChain[of] == "" {
					t.Errorf("%s: %q is said to be %q, for which there is no reason", page, text(n), of)
				}
			case n.Type == html.ElementNode && n.Data == "time":
				if chained++; !opensChain(page, n) && !besideIts(page, n) {
					t.Errorf("%s: %q leads to no chain in %q", page, text(n), text(n.Parent.Parent))
				}
			case n.Type == html.TextNode && n.Parent.Data != "time" && dayInWords.MatchString(n.Data) && !stands(n) && !opensChain(page, n):
				t.Errorf("%s: %q is bare in %q", page, dayInWords.FindString(n.Data), text(n.Parent))
			}
		}
	}
	s.crawl("/", look)
	for _, page := range s.round(scheduler.TradeRole) {
		w, doc := s.get(page)
		look(page, w, doc)
	}
	t.Logf("%d days lead to their chains; without one: %v", chained, days)
	if chained < 5000 {
		t.Errorf("only %d days were looked at", chained)
	}
}

// stands says whether a text is where days may be in running text.
func stands(n *html.Node) bool {
	for p := n.Parent; p != nil && p.Type == html.ElementNode; p = p.Parent {
		for where := range besides {
			if matches(p, where) {
				return true
			}
		}
	}
	return false
}

// besideIts says whether a day stands in the words of a button or of what is folded away,
// which cannot hold a link, and leads to its chain from beside it.
func besideIts(page string, n *html.Node) bool {
	in := false
	for p := n.Parent; p != nil; p = p.Parent {
		if p.Data == "summary" || p.Data == "button" {
			in = true
		}
		if in && (p.Data == "details" || p.Data == "section") {
			return slices.ContainsFunc(find(p, "[datetime="+attr(n, "datetime")+"]"), func(o *html.Node) bool { return opensChain(page, o) })
		}
	}
	return false
}

// opensChain says whether something lies in a link to the chain of a step: to its page,
// or, for a trade, to what holds its own visit.
func opensChain(page string, n *html.Node) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if p.Data != "a" {
			continue
		}
		base, _ := url.Parse(page)
		to, err := base.Parse(attr(p, "href"))
		if err != nil {
			return false
		}
		if to.Path == "/mine" {
			return strings.HasPrefix(to.Fragment, "why-")
		}
		return path.Base(path.Dir(to.Path)) == "steps" && slices.Contains([]string{"why", "dates", "waits"}, to.Fragment)
	}
	return false
}
