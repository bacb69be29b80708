package api

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// form sends a form of a page.
func (s *site) form(path string, fields url.Values) answer {
	s.t.Helper()
	return s.send("POST", path, fields.Encode(), header("Content-Type", "application/x-www-form-urlencoded"))
}

// fieldsOf are the hidden fields of the form of a page that leads to an address.
func (a answer) fieldsOf(action string) url.Values {
	a.t.Helper()
	_, form, ok := strings.Cut(string(a.body), `action="`+action+`"`)
	if !ok {
		a.t.Fatalf("no form to %s in %s", action, a.body)
	}
	form, _, _ = strings.Cut(form, "</form>")
	fields := url.Values{}
	for _, m := range regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`).FindAllStringSubmatch(form, -1) {
		fields.Set(m[1], m[2])
	}
	return fields
}

// TestTheTradesPage reads a trade's page, sends every form of it rightly and wrongly,
// and searches all that comes back for what belongs to others.
func TestTheTradesPage(t *testing.T) {
	s := newSite(t).withTwoFirms().withPages()
	crimson, _ := s.asTrade("two-firms", "crimson")
	indigo, _ := s.asTrade("two-firms", "indigo")
	others := []string{"cobalt", "hush"}
	page := func(path string, sees ...string) answer {
		t.Helper()
		a := crimson.get(path).want(http.StatusOK)
		wantSees(t, path, a, sees, others)
		return a
	}
	page("/mine", "crimson gang", "house of two firms", "your next visit: hall", "scarlet walls", "floor laid", "colour chosen", "before you in this place: indigo gang",
		"after you: indigo gang", "you were promised", "these days have moved", "caution: height", "a person on site releases it", "no permission to load")

	const walls, attic, stairs = "/mine/windows/crimson.hall.scarlet-walls", "/mine/windows/crimson.attic.scarlet-attic", "/mine/steps/scarlet-begun/progress"
	confirm := page("/mine").fieldsOf(walls + "/confirm")
	for range 2 { // tapped twice
		crimson.form(walls+"/confirm", confirm).want(http.StatusSeeOther)
	}
	page("/mine?said=confirm", "you have confirmed", "thank you")

	away := page("/mine").fieldsOf(attic + "/cannot-come")
	away.Set("from", "2026-04-20")
	away.Set("note", "scarlet wedding")
	crimson.form(attic+"/cannot-come", away).want(http.StatusSeeOther)
	page("/mine?said=cannot-come", "you cannot come: ", "days on which you do not come")

	part := page("/mine").fieldsOf(stairs)
	part.Set("what", "part")
	part.Set("left", "1")
	part.Set("unit", "days")
	part.Set("note", "scarlet landing left")
	crimson.form(stairs, part).want(http.StatusSeeOther)
	page("/mine?said=progress", "your progress is recorded", "1 working day left", "you wrote: scarlet landing left")

	done := page("/mine").fieldsOf(stairs)
	done.Set("what", "done")
	done.Set("day", "2026-04-10")
	crimson.form(stairs, done).want(http.StatusSeeOther)
	if again := string(page("/mine").body); strings.Contains(again, `action="`+stairs+`"`) {
		t.Error("what is done can still be told")
	}

	// What is wrong comes back in the form, with what was typed.
	for _, c := range []struct {
		path   string
		fields url.Values
		word   string
	}{
		{walls + "/confirm", url.Values{"from": {"2026-04-01"}, "until": {"2026-04-02"}}, "the window has moved meanwhile"},
		{walls + "/confirm", url.Values{}, "give the day"},
		{attic + "/cannot-come", url.Values{"from": {"2026-05-09"}, "to": {"2026-05-08"}, "note": {"scarlet slip"}}, "scarlet slip"},
		{attic + "/cannot-come", url.Values{"from": {"never"}}, "never"},
		{attic + "/cannot-come", url.Values{"from": {"2026-02-09"}}, "is past already"},
		{"/mine/steps/scarlet-attic/progress", url.Values{"what": {"part"}, "left": {"some"}, "unit": {"days"}}, "how much is left"},
		{"/mine/steps/scarlet-attic/progress", url.Values{}, "started, done or part done"},
		{"/mine/steps/scarlet-attic/progress", url.Values{"what": {"done"}, "day": {"2026-05-05"}}, "lies after the as-of day"},
		{"/mine/steps/scarlet-attic/progress", url.Values{"what": {"done"}, "note": {"a\x07b"}}, "control character"},
	} {
		wantSees(t, c.path, crimson.form(c.path, c.fields).want(http.StatusUnprocessableEntity), []string{c.word, "role=\"alert\""}, others)
	}
	// Another firm's window and step are not there.
	for _, path := range []string{
		"/mine/windows/indigo.hall.cobalt-after/confirm", "/mine/windows/indigo.hall.cobalt-after/cannot-come", "/mine/steps/cobalt-own/progress", "/mine/steps/plain-choice/progress",
	} {
		fields := url.Values{"from": {"2026-04-20"}, "until": {"2026-04-21"}, "what": {"done"}}
		if a := crimson.form(path, fields); a.status != http.StatusNotFound {
			t.Errorf("%s: %d %s", path, a.status, a.body)
		}
	}
	// The owner has no trade's page, and a trade no other page than its own.
	s.get("/mine").want(http.StatusForbidden)
	for _, path := range []string{"/", "/jobs/two-firms", "/jobs/two-firms/trades/crimson", "/jobs/two-firms/issued"} {
		a := crimson.get(path)
		if a.status == http.StatusOK {
			t.Errorf("%s is open to a trade's link", path)
		}
		wantSees(t, path, a, nil, others)
	}
	wantSees(t, "the other firm's page", indigo.get("/mine").want(http.StatusOK), []string{"indigo gang", "cobalt"},
		[]string{"scarlet attic", "scarlet stairs", "scarlet foreman", "scarlet wedding", "scarlet landing", "scarlet slip", "hush"})
}
