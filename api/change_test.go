package api

import (
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/rights"
)

const garden = "/api/jobs/garden-studio"

// TestChanges makes every kind of change, each seen in the new revision by a
// read, whose plan is of that revision.
func TestChanges(t *testing.T) {
	cases := map[string]struct {
		method, path, body string
		seen               string   // where the change shows
		words, gone        []string // what is there then, and what no longer
	}{
		"record": {
			"PATCH", garden + "/facts/frame", `{"done":"2026-04-10 15:00","by":"kim"}`,
			garden + "/steps/frame",
			[]string{`"state":"done"`, `"started":"2026-04-07"`, `"done":"2026-04-10 15:00"`},
			[]string{`"remaining":"3 days"`},
		},
		"record expected": {
			"PATCH", garden + "/facts/windows.delivery", `{"expected":"2026-05-19"}`,
			garden + "/steps/windows.delivery",
			[]string{`"expected":"2026-05-19"`},
			nil,
		},
		"correct": {
			"PUT", garden + "/facts/frame", `{"started":"2026-04-08"}`,
			garden + "/facts",
			[]string{`{"step":"frame","started":"2026-04-08"}`},
			nil,
		},
		"forget": {"DELETE", garden + "/facts/frame", "", garden + "/facts", nil, []string{`"step":"frame",`}},
		"release": {
			"POST", garden + "/holds/frame-seen/release", `{"by":"inspector","at":"2026-04-12","evidence":"report 7"}`,
			garden + "/holds/frame-seen",
			[]string{`"state":"done"`, `"evidence":"report 7"`},
			nil,
		},
		"release now": {
			"POST", garden + "/holds/windows-seen/release", `{"by":"bo"}`,
			garden + "/holds/windows-seen",
			[]string{`"released":"2026-04-13"`},
			nil,
		},
		"release of an instance": {
			"POST", garden + "/holds/opening-n2.opening-ready/release", `{"by":"kim"}`,
			garden + "/steps/opening-n2.opening-ready",
			[]string{`"state":"done"`},
			nil,
		},
		"release with figure": {
			"POST", garden + "/holds/sill-height/release", `{"by":"kim","measured":902}`,
			garden + "/facts",
			[]string{`"measured":902`},
			[]string{`"refused"`},
		},
		"refuse": {
			"POST", garden + "/holds/frame-seen/refuse", `{"by":"inspector","note":"a strap is missing"}`,
			garden + "/holds/frame-seen",
			[]string{`"state":"refused"`, "a strap is missing"},
			nil,
		},
		"book": {
			"POST", garden + "/holds/frame-seen/book", `{"at":"2026-04-24 10:00"}`,
			garden + "/holds/frame-seen",
			[]string{`"booked":"2026-04-24 10:00"`},
			nil,
		},
		"takes": {
			"PUT", garden + "/steps/clad/takes", `{"takes":"7 days"}`,
			garden + "/steps/clad",
			[]string{`"work_minutes":3360`},
			nil,
		},
		"takes of a typical": {
			"PUT", garden + "/steps/openings.set/takes", `{"takes":"1 day"}`,
			garden + "/steps/opening-n2.set",
			[]string{`"work_minutes":480`},
			nil,
		},
		"crews": {
			"PUT", garden + "/trades/cladding/crews", `{"crews":2}`,
			garden + "/trades/cladding",
			[]string{`"crews":2`},
			nil,
		},
		"days off": {
			"PUT", garden + "/trades/cladding/off", `{"off":[{"from":"2026-06-04","to":"2026-06-05","why":"fair"}]}`,
			garden + "/trades/cladding",
			[]string{`"why":"fair"`},
			nil,
		},
		"pin": {
			"PUT", garden + "/pins/paint-inside", `{"on":"2026-06-29","by":"kim","reason":"the painter's only day"}`,
			garden + "/pins",
			[]string{`"on":"2026-06-29"`},
			nil,
		},
		"unpin":    {"DELETE", garden + "/pins/clad", "", garden + "/pins", nil, []string{`"step":"clad"`}},
		"due":      {"PUT", garden + "/dues/painted", `{"title":"Painted","step":"paint-inside","on":"2026-07-31"}`, garden + "/dues", []string{`"id":"painted"`}, nil},
		"drop due": {"DELETE", garden + "/dues/closed-in", "", garden + "/dues", []string{`"dues":[]`}, nil},
		"as of": {
			"PUT", garden + "/as-of", `{"as_of":"2026-04-20"}`,
			garden + "/plan",
			[]string{`"as_of":"2026-04-20"`},
			nil,
		},
		"waive": {
			"POST", garden + "/waivers", `{"from":{"step":"clad","end":"finish"},"to":{"step":"strike","end":"start"},"by":"kim","reason":"the truck comes"}`,
			garden + "/waits",
			[]string{`"waived":"`, "the truck comes"},
			nil,
		},
		"unwaive": {
			"DELETE", garden + "/waivers?from_step=frame&from_end=finish&to_step=tape&to_end=start", "",
			garden + "/waivers",
			[]string{`"waivers":[]`},
			nil,
		},
		"aside": {
			"POST", garden + "/alerts/aside", `{"alert":"loose end: strike","by":"kim","reason":"the end of the job"}`,
			garden + "/file",
			[]string{"the end of the job"},
			nil,
		},
		"bring back": {
			"DELETE", garden + "/alerts/aside?alert=loose%20end:%20paint-inside", "",
			garden + "/file", nil,
			[]string{"by design"},
		},
	}
	whole := newSite(t)
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			s := whole.of(t).withExample() // each from the same job
			from := into[JobBody](s.get(garden)).Revision
			got := s.send(c.method, c.path, c.body, header("If-Match", s.get(garden+"/plan").header.Get("ETag"))).want(http.StatusOK)
			change := into[ChangedBody](got)
			if change.Revision != from+1 || got.header.Get("ETag") != tag(from+1) {
				t.Fatalf("%+v after revision %d, ETag %s", change, from, got.header.Get("ETag"))
			}
			plan := into[PlanBody](s.get(change.Plan).want(http.StatusOK))
			if plan.Revision != from+1 || plan.Plan == nil {
				t.Fatalf("the plan is of revision %d", plan.Revision)
			}
			shown := string(s.get(c.seen).want(http.StatusOK).body)
			for _, word := range c.words {
				if !strings.Contains(shown, word) {
					t.Errorf("no %s in %.3000s", word, shown)
				}
			}
			for _, word := range c.gone {
				if strings.Contains(shown, word) {
					t.Errorf("still %s in %.3000s", word, shown)
				}
			}
			lines := into[HistoryBody](s.get(garden + "/history")).Lines
			if len(lines) == 0 || lines[0].Who != "owner" {
				t.Errorf("history %+v", lines)
			}
		})
	}
}

// TestRefusedChanges has every way in which a change is turned away, and that the
// revision stays.
func TestRefusedChanges(t *testing.T) {
	const unprocessable = http.StatusUnprocessableEntity
	s := newSite(t).withExample()
	for name, c := range map[string]struct {
		method, path, body string
		status             int
		kind, word         string
	}{
		"unknown step":       {"PATCH", garden + "/facts/roof", `{"done":"2026-04-10"}`, 404, "not-found", "roof"},
		"unknown job":        {"PATCH", "/api/jobs/palace/facts/frame", `{"done":"2026-04-10"}`, 404, "not-found", "palace"},
		"unknown person":     {"PATCH", garden + "/facts/frame", `{"done":"2026-04-10","by":"eve"}`, unprocessable, "not-found", "eve"},
		"unknown key":        {"PATCH", garden + "/facts/frame", `{"finished":"2026-04-10"}`, unprocessable, "invalid", "finished"},
		"no such day":        {"PATCH", garden + "/facts/frame", `{"done":"2026-02-30"}`, unprocessable, "invalid", "2026-02-30"},
		"no day at all":      {"PATCH", garden + "/facts/frame", `{"done":"yesterday"}`, unprocessable, "invalid", "2026-05-18 07:30"},
		"no unit":            {"PUT", garden + "/steps/clad/takes", `{"takes":"7"}`, unprocessable, "invalid", "28 elapsed days"},
		"too long":           {"PUT", garden + "/steps/clad/takes", `{"takes":"999999 days"}`, unprocessable, "invalid", "100000"},
		"nothing said":       {"PATCH", garden + "/facts/clad", `{}`, unprocessable, "incomplete", "says nothing"},
		"ahead of as of":     {"PATCH", garden + "/facts/clad", `{"started":"2026-04-14"}`, unprocessable, "impossible", "as-of"},
		"release ahead":      {"POST", garden + "/holds/frame-seen/release", `{"by":"inspector","at":"2026-04-14"}`, unprocessable, "impossible", "as-of"},
		"release by another": {"POST", garden + "/holds/frame-seen/release", `{"by":"kim"}`, 403, "not-theirs", "inspector"},
		"release by nobody":  {"POST", garden + "/holds/frame-seen/release", `{"note":"fine"}`, unprocessable, "invalid", "required property by"},
		"release twice":      {"POST", garden + "/holds/sizes-frozen/release", `{"by":"bo"}`, 409, "already", "2026-03-05"},
		"release of a task":  {"POST", garden + "/holds/frame/release", `{"by":"kim"}`, unprocessable, "wrong-kind", "not a hold point"},
		"refuse silently":    {"POST", garden + "/holds/frame-seen/refuse", `{"by":"inspector"}`, unprocessable, "incomplete", "reason"},
		"waive twice":        {"POST", garden + "/waivers", `{"from":{"step":"frame","end":"finish"},"to":{"step":"tape","end":"start"},"by":"kim","reason":"dry"}`, 409, "already", "waived"},
		"waive no wait":      {"POST", garden + "/waivers", `{"from":{"step":"clad","end":"start"},"to":{"step":"frame","end":"start"},"by":"kim","reason":"dry"}`, unprocessable, "unsound", "clad"},
		"unwaive nothing":    {"DELETE", garden + "/waivers?from_step=clad&from_end=finish&to_step=tape&to_end=start", "", 404, "not-found", "not waived"},
		"no end":             {"DELETE", garden + "/waivers?from_step=clad&from_end=middle&to_step=tape&to_end=start", "", unprocessable, "invalid", "from_end"},
		"pin of nothing":     {"PUT", garden + "/pins/roof", `{"on":"2026-06-29","by":"kim","reason":"x"}`, 404, "not-found", "roof"},
		"unpin nothing":      {"DELETE", garden + "/pins/frame", "", 404, "not-found", "not pinned"},
		"no crews":           {"PUT", garden + "/trades/cladding/crews", `{"crews":0}`, unprocessable, "invalid", "crews"},
		"days off backwards": {"PUT", garden + "/trades/cladding/off", `{"off":[{"from":"2026-06-05","to":"2026-06-04"}]}`, unprocessable, "impossible", "end before"},
		"as of too early":    {"PUT", garden + "/as-of", `{"as_of":"2026-04-01"}`, unprocessable, "impossible", "2026-04"},
		"bring back nothing": {"DELETE", garden + "/alerts/aside?alert=x", "", 404, "not-found", "not set aside"},
		"aside by nobody":    {"POST", garden + "/alerts/aside", `{"alert":"x","by":"","reason":"y"}`, unprocessable, "incomplete", "who"},
		"drop no due":        {"DELETE", garden + "/dues/painted", "", 404, "not-found", "painted"},
		"forget nothing":     {"DELETE", garden + "/facts/clad", "", 409, "already", "nothing is recorded"},
		"no body":            {"PATCH", garden + "/facts/frame", "", 400, "about:blank", "body is required"},
		"no JSON":            {"PATCH", garden + "/facts/frame", `{"done"`, 400, "about:blank", "body"},
	} {
		t.Run(name, func(t *testing.T) {
			s := s.of(t)
			s.send(c.method, c.path, c.body).problem(c.status, c.kind, c.word)
			if job := into[JobBody](s.get(garden)); job.Revision != 1 {
				t.Fatalf("revision %d after a change that was turned away", job.Revision)
			}
		})
	}
}

func TestIfMatch(t *testing.T) {
	s := newSite(t).withExample()
	crews := func(match string) answer {
		return s.send("PUT", garden+"/trades/cladding/crews", `{"crews":3}`, header("If-Match", match))
	}
	for _, stale := range []string{`"2"`, `"7-2026-04-13"`} {
		crews(stale).problem(http.StatusPreconditionFailed, "stale", "the job is at revision 1")
	}
	for _, none := range []string{`"0"`, "yesterday", `"-1"`} {
		crews(none).problem(http.StatusPreconditionFailed, "stale", "Read the job again")
	}
	crews(`"1-2026-04-13"`).want(http.StatusOK)
	crews(`"1"`).problem(http.StatusPreconditionFailed, "stale")
	crews("*").want(http.StatusOK)
	s.send("PUT", garden+"/file", string(s.get(garden+"/file").body), header("Content-Type", yamlType), header("If-Match", `"1"`)).
		problem(http.StatusPreconditionFailed, "stale")
}

func TestJobFile(t *testing.T) {
	s := newSite(t).withExample()
	yaml := header("Content-Type", yamlType)
	file := string(s.get(garden + "/file").want(http.StatusOK).body)
	put := func(path, file string, withs ...with) answer {
		return s.send("PUT", path+"/file", file, append([]with{yaml}, withs...)...)
	}
	put(garden, strings.Replace(file, "title: Garden studio", "title: Bigger studio", 1), header("If-Match", `"1"`)).want(http.StatusOK)
	if job := into[JobBody](s.get(garden)); job.Revision != 2 || !strings.HasPrefix(job.Title, "Bigger studio") {
		t.Fatalf("revision %d, title %q", job.Revision, job.Title)
	}
	other := strings.Replace(file, "job: garden-studio", "job: barn", 1)
	change := into[ChangedBody](put("/api/jobs/barn", other).want(http.StatusOK))
	if change.Revision != 1 || change.Plan != "/api/jobs/barn/plan" {
		t.Fatalf("%+v", change)
	}
	if again := string(s.get("/api/jobs/barn/file").body); again != other {
		t.Errorf("the file came back changed: %s", again)
	}
	if jobs := into[JobsBody](s.get("/api/jobs")).Jobs; len(jobs) != 2 {
		t.Errorf("%d jobs", len(jobs))
	}

	put("/api/jobs/shed", other).problem(http.StatusUnprocessableEntity, "impossible", "barn", "shed")
	p := put(garden, "job: garden-studio\ntitel: X\nzone: Mars/Base\n").problem(http.StatusUnprocessableEntity, "unsound", "nothing has been changed")
	if len(p.Errors) < 2 || !slices.ContainsFunc(p.Errors, func(d *huma.ErrorDetail) bool {
		return d.Location == "line 2, column 1" && d.Value == "titel" && strings.Contains(d.Message, `did you mean "title"`)
	}) {
		t.Errorf("errors %+v", p.Errors)
	}
	put(garden, "").problem(http.StatusBadRequest, "about:blank")
	put(garden, file, header("Content-Type", "application/json")).problem(http.StatusUnsupportedMediaType, "about:blank")
	put(garden, file, header("Content-Type", "application/yaml; charset=utf-8")).want(http.StatusOK)
	put(garden, strings.Repeat("#", maxJobFile+1)).problem(http.StatusRequestEntityTooLarge, "about:blank")
}

func TestCalendar(t *testing.T) {
	s := newSite(t).withExample()
	got := s.get(garden + "/trades/cladding/calendar").want(http.StatusOK)
	if kind := got.header.Get("Content-Type"); kind != calendarType {
		t.Errorf("content type %q", kind)
	}
	windows := into[WindowsBody](s.get(garden + "/trades/cladding/windows")).Windows
	text := string(got.body)
	if n := strings.Count(text, "BEGIN:VEVENT\r\n"); n != len(windows) || n == 0 {
		t.Fatalf("%d events for %d windows", n, len(windows))
	}
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") {
		t.Error("a line ends without a carriage return")
	}
	for line := range strings.SplitSeq(text, "\r\n") {
		if len(line) > 75 {
			t.Errorf("a line of %d bytes: %s", len(line), line)
		}
	}
	w := windows[0]
	zone, err := time.LoadLocation(into[JobBody](s.get(garden).want(http.StatusOK)).Zone)
	if err != nil || zone == time.UTC {
		t.Fatalf("the job is in %v, %v", zone, err)
	}
	for _, want := range []string{
		"BEGIN:VTIMEZONE\r\nTZID:" + zone.String() + "\r\nBEGIN:",
		"UID:" + w.ID + "@garden-studio.gaugerod", "DTSTART;TZID=" + zone.String() + ":" + w.From.In(zone).Format("20060102T150405"),
		"DTEND;TZID=" + zone.String() + ":" + w.Until.In(zone).Format("20060102T150405"),
	} {
		if !strings.Contains(strings.ReplaceAll(text, "\r\n ", ""), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
	if again := s.get(garden + "/trades/cladding/calendar"); string(again.body) != text {
		t.Error("the same plan gave another calendar")
	}
	// A step with a caution is never announced without the word on safety.
	if text := unfold(string(s.get(garden + "/trades/framing/calendar").want(http.StatusOK).body)); !strings.Contains(text, "no permission to begin") {
		t.Errorf("no word on safety in %s", text)
	}
}

func unfold(s string) string { return strings.ReplaceAll(s, "\r\n ", "") }

func TestSelfCheck(t *testing.T) {
	s := newSite(t).withExample()
	checks := into[SelfCheckBody](s.get(garden + "/self-check").want(http.StatusOK)).Checks
	if len(checks) < 20 {
		t.Fatalf("%d checks", len(checks))
	}
	for _, c := range checks {
		if c.Formula == "" || c.Figure == "" || c.Source == "" || c.Result == "" {
			t.Errorf("%+v", c)
		}
	}
}

func TestSessionsAndLinks(t *testing.T) {
	s := newSite(t)
	link := into[LinkBody](s.send("POST", "/api/sign-in-links", "").want(http.StatusOK))
	_, secret, ok := strings.Cut(link.Path, "secret=")
	if !ok {
		t.Fatal(link.Path)
	}
	open := func(secret string) answer {
		return s.send("POST", "/api/sessions", `{"secret":"`+secret+`"}`, signedOut)
	}
	got := open(secret).want(http.StatusOK)
	if got.header.Get("Cache-Control") != "no-store" {
		t.Error("a token may be kept by caches")
	}
	s.get("/api/jobs", header("Authorization", "Bearer "+into[TokenBody](got).Token)).want(http.StatusOK)
	open(secret).problem(http.StatusForbidden, "spent", "spent")
	open("").problem(http.StatusUnprocessableEntity, "invalid", "secret")
	s.send("POST", "/api/sign-in-links", "", signedOut).problem(http.StatusUnauthorized, "about:blank", "link")
}

func TestEveryOperationNeedsSignIn(t *testing.T) {
	s := newSite(t).withExample()
	n := 0
	for path, item := range s.server.api.OpenAPI().Paths {
		for method := range map[string]bool{"GET": item.Get != nil, "PUT": item.Put != nil, "POST": item.Post != nil, "PATCH": item.Patch != nil, "DELETE": item.Delete != nil} {
			route := rights.API[rights.Key(method, prefix+strings.NewReplacer("{", ":", "}", "").Replace(path))]
			if route.IsDoor() {
				continue
			}
			address := prefix + strings.NewReplacer("{job}", "garden-studio", "{step}", "frame", "{hold}", "frame-seen", "{trade}", "framing", "{order}", "windows", "{due}", "closed-in").Replace(path)
			got := s.send(method, address, "", signedOut)
			if got.status != http.StatusUnauthorized && got.status != http.StatusMethodNotAllowed {
				t.Errorf("%s %s: %d without signing in", method, address, got.status)
			}
			n++
		}
	}
	if n < 100 {
		t.Fatalf("asked %d addresses only", n)
	}
}
