package api

import (
	"context"
	"encoding/json"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// twoFirmsFile has what is crimson's own under the word scarlet, what is indigo's own
// under the word cobalt, and what neither may see under the word hush.
const twoFirmsFile = "../testdata/two-firms.job.yaml"

// withTwoFirms puts the job of two firms there.
func (s *site) withTwoFirms() *site {
	s.t.Helper()
	data, err := os.ReadFile(twoFirmsFile)
	if err != nil {
		s.t.Fatal(err)
	}
	job, err := jobfile.Read(twoFirmsFile, data)
	if err != nil {
		s.t.Fatal(err)
	}
	if _, err := s.store.Put(context.Background(), job, db.By("test")); err != nil {
		s.t.Fatal(err)
	}
	return s
}

// asTrade is the site as a trade sees it by its link, and the secret of its calendar.
func (s *site) asTrade(job, trade scheduler.ID) (*site, string) {
	s.t.Helper()
	secret, calendar := signin.NewSecret(), signin.NewSecret()
	link := db.TradeLink{Job: job, Trade: trade, Label: "the link of " + string(trade), By: "test"}
	if _, err := s.store.(*db.Store).AddTradeLink(s.t.Context(), link, db.HashOf(secret), db.HashOf(calendar), time.Hour); err != nil {
		s.t.Fatal(err)
	}
	opened, err := s.parts.Keeper.Open(s.t.Context(), secret, "a phone")
	if err != nil {
		s.t.Fatal(err)
	}
	within := *s
	within.token = opened.Token
	return &within, calendar
}

// mineReads are all the addresses at which a trade reads something.
func mineReads(calendar string) []string {
	return []string{"/api/mine", "/api/mine/windows", "/api/mine/tasks", "/api/mine/calendar", "/calendar/" + calendar + ".ics"}
}

func wantSees(t *testing.T, what string, a answer, sees, never []string) {
	t.Helper()
	text := strings.ToLower(strings.ReplaceAll(string(a.body), "\r\n ", ""))
	for name := range a.header {
		text += "\n" + strings.ToLower(name+": "+a.header.Get(name))
	}
	for _, word := range sees {
		if !strings.Contains(text, word) {
			t.Errorf("%s: no word of %q in %d letters: %.400s", what, word, len(text), text)
		}
	}
	for _, word := range never {
		if at := strings.Index(text, word); at >= 0 {
			t.Errorf("%s tells of %q: …%s…", what, word, text[max(0, at-150):min(len(text), at+150)])
		}
	}
}

// TestATradeSeesNothingOfOthers reads everything that a trade's link opens, asks for
// what belongs to the other firm and makes every kind of answer wrongly: no word of
// the other firm, or of persons, notes and reasons, is ever told.
func TestATradeSeesNothingOfOthers(t *testing.T) {
	s := newSite(t).withTwoFirms()
	crimson, crimsonsCalendar := s.asTrade("two-firms", "crimson")
	indigo, indigosCalendar := s.asTrade("two-firms", "indigo")
	// Others act meanwhile, with words of their own.
	s.text(http.StatusOK, "POST", "/api/jobs/two-firms/issues", `{"by":"hush-owner","note":"hush issue"}`)
	indigo.text(http.StatusOK, "POST", "/api/mine/windows/indigo.cobalt-cellar.cobalt-own/cannot-come", `{"from":"2026-05-04","to":"2026-05-05","note":"cobalt trip"}`)
	indigo.text(http.StatusOK, "PATCH", "/api/mine/steps/plain-first/progress", `{"remaining":"4 hours","note":"cobalt slow floor"}`)

	others := []string{"cobalt", "hush"}
	wantSees(t, "windows", crimson.get("/api/mine/windows").want(http.StatusOK), []string{"scarlet walls", "floor laid", "colour chosen", "indigo gang", `"agreed"`, "height"}, others)
	wantSees(t, "tasks", crimson.get("/api/mine/tasks").want(http.StatusOK), []string{"scarlet attic", "scarlet stairs"}, others)
	wantSees(t, "mine", crimson.get("/api/mine").want(http.StatusOK), []string{"house of two firms", "crimson gang", `"next"`}, others)
	for _, path := range mineReads(crimsonsCalendar) {
		wantSees(t, path, crimson.get(path).want(http.StatusOK), []string{"scarlet"}, others)
	}
	for _, path := range mineReads(indigosCalendar) {
		// It waits for the walls, and knows of them no more than what they are called.
		wantSees(t, path, indigo.get(path).want(http.StatusOK), []string{"cobalt"}, []string{"scarlet-", "scarlet attic", "scarlet stairs", "scarlet foreman", "hush"})
	}
	none := crimson.text(http.StatusNotFound, "POST", "/api/mine/windows/no.such.window/confirm", `{"from":"2026-04-20","until":"2026-04-21"}`)
	for _, c := range []struct {
		status             int
		method, path, body string
	}{
		{http.StatusNotFound, "POST", "/windows/indigo.hall.cobalt-after/confirm", `{"from":"2026-04-20","until":"2026-04-21"}`},
		{http.StatusNotFound, "POST", "/windows/indigo.hall.cobalt-after/cannot-come", `{"from":"2026-05-04","to":"2026-05-05"}`},
		{http.StatusNotFound, "PATCH", "/steps/cobalt-own/progress", `{"done":"2026-04-10"}`},
		{http.StatusNotFound, "PATCH", "/steps/stock.making/progress", `{"done":"2026-04-10"}`},
		{http.StatusNotFound, "PATCH", "/steps/plain-choice/progress", `{"note":"x"}`},
		{http.StatusNotFound, "PATCH", "/steps/no-such-step/progress", `{"note":"x"}`},
		{http.StatusUnprocessableEntity, "PATCH", "/steps/stock.delivery/progress", `{"note":"x"}`},
		{http.StatusUnprocessableEntity, "PATCH", "/steps/scarlet-begun/progress", `{"done":"2026-04-20"}`},
		{http.StatusUnprocessableEntity, "PATCH", "/steps/scarlet-begun/progress", `{"done":"2026-04-01"}`},
		{http.StatusUnprocessableEntity, "PATCH", "/steps/scarlet-begun/progress", `{"remaining":"2 elapsed days"}`},
		{http.StatusUnprocessableEntity, "PATCH", "/steps/scarlet-begun/progress", `{"note":"a\u0007b"}`},
		{http.StatusUnprocessableEntity, "POST", "/windows/crimson.hall.scarlet-walls/confirm", `{"from":"2026-04-01","until":"2026-04-02"}`},
		{http.StatusUnprocessableEntity, "POST", "/windows/crimson.hall.scarlet-walls/cannot-come", `{"from":"2026-05-08","to":"2026-05-05"}`},
		{http.StatusUnprocessableEntity, "POST", "/windows/crimson.hall.scarlet-walls/cannot-come", `{"from":"2026-01-08","to":"2026-01-09"}`},
	} {
		a := crimson.send(c.method, "/api/mine"+c.path, c.body).want(c.status)
		wantSees(t, c.method+" "+c.path+" "+c.body, a, nil, others)
		if c.status == http.StatusNotFound && withoutInstance(t, string(a.body)) != withoutInstance(t, none) {
			t.Errorf("%s: another firm's is told from what is not there: %s", c.path, a.body)
		}
	}
	// A change that came too late does not tell what the others changed.
	late := crimson.send("PATCH", "/api/mine/steps/scarlet-begun/progress", `{"note":"x"}`, header("If-Match", `"1"`)).want(http.StatusPreconditionFailed)
	wantSees(t, "too late", late, nil, append(others, "since", "indigo"))
	// Nothing else of the job is open to the link.
	for _, path := range []string{"/api/jobs", "/api/jobs/two-firms", "/api/jobs/two-firms/plan", "/api/jobs/two-firms/trades/crimson/windows", "/api/jobs/two-firms/issues", "/api/jobs/two-firms/moved"} {
		a := crimson.get(path)
		if a.status != http.StatusNotFound && a.status != http.StatusForbidden {
			t.Errorf("%s: %d %s", path, a.status, a.body)
		}
		wantSees(t, path, a, nil, others)
	}
}

func withoutInstance(t *testing.T, body string) string {
	t.Helper()
	var p map[string]any
	if err := json.Unmarshal([]byte(body), &p); err != nil {
		t.Fatal(err)
	}
	delete(p, "instance")
	out, _ := json.Marshal(p)
	return string(out)
}

// TestAnswersOfATrade goes the whole way: confirm, cannot come, started, part done,
// done, each seen by the owner and in the history under the link's name.
func TestAnswersOfATrade(t *testing.T) {
	s := newSite(t).withTwoFirms()
	crimson, _ := s.asTrade("two-firms", "crimson")
	windows := into[MyWindowsBody](crimson.get("/api/mine/windows").want(http.StatusOK)).Windows
	walls := windowOf(t, windows, "crimson.hall.scarlet-walls")
	if walls.Agreed == nil || !walls.Agreed.Moved || walls.Agreed.Letter != "A" {
		t.Errorf("agreed: %+v", walls.Agreed)
	}
	shown := `{"from":"` + walls.From.Format(time.DateOnly) + `","until":"` + walls.Until.Format(time.DateOnly) + `"}`
	once := crimson.text(http.StatusOK, "POST", "/api/mine/windows/"+walls.ID+"/confirm", shown, header("Idempotency-Key", "k1"))
	if again := crimson.text(http.StatusOK, "POST", "/api/mine/windows/"+walls.ID+"/confirm", shown, header("Idempotency-Key", "k1")); again != once {
		t.Errorf("the same answer again: %s, then %s", once, again)
	}
	crimson.send("POST", "/api/mine/windows/"+walls.ID+"/confirm", shown).problem(http.StatusConflict, "already")
	after := windowOf(t, into[MyWindowsBody](crimson.get("/api/mine/windows")).Windows, walls.ID)
	if after.Agreed == nil || after.Agreed.Moved || after.Agreed.Confirmed == nil {
		t.Errorf("confirmed: %+v", after.Agreed)
	}

	attic := windowOf(t, windows, "crimson.attic.scarlet-attic")
	from := attic.From.Format(time.DateOnly)
	crimson.text(http.StatusOK, "POST", "/api/mine/windows/"+attic.ID+"/cannot-come", `{"from":"`+from+`","to":"`+from+`","note":"scarlet wedding"}`)
	moved := windowOf(t, into[MyWindowsBody](crimson.get("/api/mine/windows")).Windows, attic.ID)
	if len(moved.Away) != 1 || moved.From.Format(time.DateOnly) <= from {
		t.Errorf("it cannot come on %s and is planned from %s, away %v", from, moved.From, moved.Away)
	}
	alerts := s.text(http.StatusOK, "GET", "/api/jobs/two-firms/alerts", "")
	for _, word := range []string{`"kind":"cannot come"`, "scarlet wedding"} {
		if !strings.Contains(alerts, word) {
			t.Errorf("no word of %s in the alerts: %s", word, alerts)
		}
	}

	crimson.text(http.StatusOK, "PATCH", "/api/mine/steps/scarlet-begun/progress", `{"remaining":"4 hours","note":"scarlet landing left"}`)
	step := s.text(http.StatusOK, "GET", "/api/jobs/two-firms/steps/scarlet-begun", "")
	for _, word := range []string{`"remaining":"4 hours"`, `"by":"crimson"`, "scarlet landing left"} {
		if !strings.Contains(step, word) {
			t.Errorf("no word of %s in %s", word, step)
		}
	}
	crimson.text(http.StatusOK, "PATCH", "/api/mine/steps/scarlet-begun/progress", `{"done":"2026-04-10"}`)
	history := into[HistoryBody](s.get("/api/jobs/two-firms/history"))
	for _, l := range history.Lines {
		if l.Revision > 1 && l.Who != "the link of crimson" {
			t.Errorf("revision %d: %s %s by %q", l.Revision, l.Kind, l.Key, l.Who)
		}
	}
	if history.Lines[0].Revision != 5 {
		t.Errorf("the newest of the history is revision %d", history.Lines[0].Revision)
	}
}

func windowOf(t *testing.T, all []office.MyWindow, id string) office.MyWindow {
	t.Helper()
	for _, w := range all {
		if w.ID == id {
			return w
		}
	}
	t.Fatalf("no window %q among %v", id, all)
	return office.MyWindow{}
}

// TestFeed follows a calendar by its secret: names stay, numbers rise for what moved
// alone, what vanishes is cancelled, and a secret that is none opens nothing.
func TestFeed(t *testing.T) {
	s := newSite(t).withTwoFirms()
	crimson, secret := s.asTrade("two-firms", "crimson")
	feed := func() map[string]string {
		t.Helper()
		a := s.get("/calendar/"+secret+".ics", signedOut).want(http.StatusOK)
		if got := a.header.Get("Content-Type"); got != calendarType {
			t.Errorf("content type %q", got)
		}
		return calendarEvents(string(a.body))
	}
	before := feed()
	walls, attic := "crimson.hall.scarlet-walls@two-firms.gaugerod", "crimson.attic.scarlet-attic@two-firms.gaugerod"
	if !strings.Contains(before[walls], "SEQUENCE:0") || !strings.Contains(before[attic], "SEQUENCE:0") {
		t.Fatalf("%v", before)
	}
	crimson.text(http.StatusOK, "POST", "/api/mine/windows/crimson.attic.scarlet-attic/cannot-come", `{"from":"2026-04-20","to":"2026-05-08"}`)
	after := feed()
	if !strings.Contains(after[attic], "SEQUENCE:1") || after[walls] != before[walls] {
		t.Errorf("the attic moved, the walls did not: %v", after)
	}
	// The same by the link's own session, and by the owner.
	for _, other := range []answer{crimson.get("/api/mine/calendar"), s.get("/api/jobs/two-firms/trades/crimson/calendar")} {
		if got := calendarEvents(string(other.want(http.StatusOK).body)); got[attic] != after[attic] {
			t.Errorf("another calendar of the trade has %s", got[attic])
		}
	}
	// The attic is given to others: the event is taken away.
	file := s.text(http.StatusOK, "GET", "/api/jobs/two-firms/file", "")
	given := strings.Replace(file, "title: Scarlet attic\n    trade: crimson", "title: Scarlet attic\n    trade: indigo", 1)
	if given == file {
		t.Fatalf("the file is written otherwise: %s", file)
	}
	s.text(http.StatusOK, "PUT", "/api/jobs/two-firms/file", given, header("Content-Type", yamlType))
	if gone := feed()[attic]; !strings.Contains(gone, "STATUS:CANCELLED") || !strings.Contains(gone, "SEQUENCE:2") {
		t.Errorf("the attic is gone: %s", gone)
	}
	for _, wrong := range []string{"/calendar/guess.ics", "/calendar/" + secret, "/calendar/.ics", "/calendar/" + secret + ".ics.ics"} {
		if a := s.get(wrong, signedOut); a.status != http.StatusNotFound {
			t.Errorf("%s: %d %s", wrong, a.status, a.body)
		}
	}
	// The secret is in no log.
	if strings.Contains(s.log.String(), secret) {
		t.Error("the secret of the calendar is in the log")
	}
}

// calendarEvents are the events of a calendar by their names.
func calendarEvents(calendar string) map[string]string {
	all := map[string]string{}
	for _, e := range strings.Split(unfold(calendar), "BEGIN:VEVENT")[1:] {
		_, rest, _ := strings.Cut(e, "UID:")
		uid, _, _ := strings.Cut(rest, "\r\n")
		all[strings.TrimSpace(uid)] = e
	}
	return all
}
