package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestEveryPageIsSoundAndEveryLinkLeadsSomewhere follows every link of the site
// from the list of jobs on and holds every page against what all pages keep.
func TestEveryPageIsSoundAndEveryLinkLeadsSomewhere(t *testing.T) {
	s := newSite(t, demo)
	fragments := map[string][]string{} // by page: the places on it that others link to
	seen := s.crawl("/", func(path string, w *httptest.ResponseRecorder, doc *html.Node) {
		if w.Header().Get("Content-Security-Policy") != policy {
			t.Errorf("%s comes without the policy", path)
		}
		sound(t, path, doc, w.Body.String())
		for _, href := range links(t, path, doc) {
			if page, fragment, _ := strings.Cut(href, "#"); fragment != "" {
				fragments[page] = append(fragments[page], fragment)
			}
		}
	})
	t.Logf("%d pages", len(seen))
	if len(seen) < 200 {
		t.Errorf("only %d pages were reached", len(seen))
	}
	for page, names := range fragments {
		for _, name := range names {
			if doc := seen[page]; doc != nil && len(find(doc, "[id="+name+"]")) == 0 {
				t.Errorf("%s has nothing called #%s", page, name)
			}
		}
	}
}

// crawl follows every link from a page on and shows what it comes to, each page once.
func (s *site) crawl(from string, show func(path string, w *httptest.ResponseRecorder, doc *html.Node)) map[string]*html.Node {
	s.t.Helper()
	seen := map[string]*html.Node{}
	queue := []string{from}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		if seen[path] != nil {
			continue
		}
		w, doc := s.get(path)
		seen[path] = doc
		if w.Code != http.StatusOK {
			s.t.Errorf("%s: status %d", path, w.Code)
			continue
		}
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			continue
		}
		show(path, w, doc)
		for _, href := range links(s.t, path, doc) {
			page, _, _ := strings.Cut(href, "#")
			// Turning over week after week never ends; once each way is enough.
			if strings.Contains(page, "week=") && strings.Contains(path, "week=") || strings.Contains(page, "from=") && strings.Contains(path, "from=") {
				continue
			}
			queue = append(queue, page)
		}
	}
	return seen
}

// links is where a page leads, without what leads into itself.
func links(t testing.TB, path string, doc *html.Node) []string {
	base, err := url.Parse(path)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, name := range []string{"href", "src"} {
		for _, n := range find(doc, "["+name+"]") {
			if n.Data == "use" {
				continue
			}
			u, err := base.Parse(attr(n, name))
			if err != nil || u.Host != "" || u.Scheme != "" {
				t.Errorf("%s loads or leads to %q, which is not of this service", path, attr(n, name))
				continue
			}
			all = append(all, u.String())
		}
	}
	return all
}

// sound is what every page keeps: one heading, a language, nothing inline, every
// field with its words, every name once, everything closed that was opened.
func sound(t *testing.T, path string, doc *html.Node, body string) {
	t.Helper()
	if n := len(find(doc, "h1")); n != 1 {
		t.Errorf("%s has %d first headings", path, n)
	}
	if attr(find(doc, "html")[0], "lang") == "" || says(doc, "title") == "" {
		t.Errorf("%s has no language or no title", path)
	}
	for _, refused := range []string{"script", "style", "iframe", "[style]", "[onclick]", "[onload]"} {
		if len(find(doc, "main "+refused)) > 0 {
			t.Errorf("%s has %s inside, which its own policy refuses", path, refused)
		}
	}
	ids := map[string]bool{}
	for _, n := range find(doc, "[id]") {
		if ids[attr(n, "id")] {
			t.Errorf("%s has two things called %s", path, attr(n, "id"))
		}
		ids[attr(n, "id")] = true
	}
	for _, n := range find(doc, "use[href]") {
		if !ids[strings.TrimPrefix(attr(n, "href"), "#")] {
			t.Errorf("%s draws %s, which it does not define", path, attr(n, "href"))
		}
	}
	for _, n := range find(doc, "[fill]") {
		if name, ok := strings.CutPrefix(attr(n, "fill"), "url(#"); ok && !ids[strings.TrimSuffix(name, ")")] {
			t.Errorf("%s hatches with %s, which it does not define", path, attr(n, "fill"))
		}
	}
	labelled(t, path, doc)
	balanced(t, path, body)
	for _, odd := range []string{"0001", "<no value>", "%!", "NaN", "-922"} {
		if strings.Contains(text(find(doc, "main")[0]), odd) {
			t.Errorf("%s says %q", path, odd)
		}
	}
}

// labelled checks that every field has words of its own.
func labelled(t *testing.T, path string, doc *html.Node) {
	t.Helper()
	words := map[string]bool{}
	for _, n := range find(doc, "label[for]") {
		words[attr(n, "for")] = true
	}
	for _, tag := range []string{"input", "select"} {
		for _, n := range find(doc, tag) {
			wrapped := false
			for p := n.Parent; p != nil; p = p.Parent {
				wrapped = wrapped || p.Data == "label"
			}
			if attr(n, "type") != "hidden" && !wrapped && !words[attr(n, "id")] {
				t.Errorf("%s: the field %s has no label", path, attr(n, "name"))
			}
		}
	}
	for _, n := range find(doc, "img") {
		if !has(n, "alt") {
			t.Errorf("%s: a picture without words", path)
		}
	}
}

// void are the elements that are never closed.
var void = map[string]bool{"meta": true, "link": true, "img": true, "input": true, "br": true, "hr": true}

// balanced reads the page tag by tag: what is opened is closed, in order.
func balanced(t *testing.T, path, body string) {
	t.Helper()
	z := html.NewTokenizer(strings.NewReader(body))
	var open []string
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("%s: %v are not closed", path, open)
			}
			return
		case html.StartTagToken:
			if name, _ := z.TagName(); !void[string(name)] {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				t.Errorf("%s: </%s> closes %v", path, name, open)
				return
			}
			open = open[:len(open)-1]
		}
	}
}
