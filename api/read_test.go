package api

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
)

// TestReads asks every address that only shows something, looks for what the
// example job must have there, and asks again with the ETag.
func TestReads(t *testing.T) {
	s := newSite(t).withExample()
	const job = "/api/jobs/garden-studio"
	for path, words := range map[string][]string{
		"/api/jobs":                     {`"id":"garden-studio"`, `"plan":"/api/jobs/garden-studio/plan"`},
		job:                             {`"zone":"Europe/Vienna"`, `"monday":["07:30-12:00","12:30-16:00"]`, `"pinned_as_of":"2026-04-13"`, `"role":"site lead"`, `"parking":"two cars in the drive`},
		job + "/file":                   {"job: garden-studio", "sizes-frozen:"},
		job + "/plan":                   {`"proven":`, `"as_of":"2026-04-13"`, `"contradictions":`},
		job + "/steps":                  {`"id":"opening-n1.set"`, `"id":"windows.delivery"`},
		job + "/steps/frame":            {`"safety":"This date is no permission`, `"remaining":"3 days"`, "Bracing as the engineer writes it."},
		job + "/steps/clad/why":         {`"sentence":`, `"held":`},
		job + "/waits":                  {`"reason":"cure"`, `"from":"finish of opening-n1.pan"`},
		job + "/waivers":                {`"from":{"step":"frame","end":"finish"}`},
		job + "/holds":                  {`"id":"windows.delivery"`, `"kind":"measure"`},
		job + "/holds/frame-seen":       {`"booked":"2026-04-20 09:00"`},
		job + "/facts":                  {`"measured":908`},
		job + "/orders":                 {`"stand_in":"Sheeted openings until they come"`},
		job + "/orders/windows":         {`"order_by":`},
		job + "/drawings":               {`"revision":"C","on":"2026-03-27","places":["wall-north"],"steps":["windows.making"],"next":{"step":"`, `"places":[],"steps":["openings.set"],"next":{"step":"opening-n1.set","on":"2026-`},
		job + "/odds":                   {`"tries":`, `"unsure":`, `"dues":[{"id":"closed-in"`},
		job + "/trades":                 {`"notice":"1 week"`, `"why":"another job"`},
		job + "/trades/windows":         {`"short":"WI"`},
		job + "/trades/windows/windows": {`"trade":"windows"`},
		job + "/places":                 {`"within":"wall-north"`, `"tuesday":["08:00-12:00"]`},
		job + "/windows":                {`"trade":"cladding"`},
		job + "/alerts":                 {`"remedy":`},
		job + "/pins":                   {`"not_before":"2026-05-18"`},
		job + "/dues":                   {`"id":"closed-in"`},
		job + "/history":                {`"lines":[`},
	} {
		t.Run(path, func(t *testing.T) {
			s := s.of(t)
			got := s.get(path).want(http.StatusOK)
			for _, word := range words {
				if !strings.Contains(string(got.body), word) {
					t.Errorf("no %s in %.3000s", word, got.body)
				}
			}
			etag := got.header.Get("ETag")
			if path == "/api/jobs" || path == job+"/history" {
				return
			}
			if !strings.HasPrefix(etag, `"1`) {
				t.Fatalf("ETag %s", etag)
			}
			again := s.get(path, header("If-None-Match", `"7", W/`+etag)).want(http.StatusNotModified)
			if len(again.body) != 0 || again.header.Get("ETag") != etag {
				t.Errorf("%q, ETag %s", again.body, again.header.Get("ETag"))
			}
			s.get(path, header("If-None-Match", `"7"`)).want(http.StatusOK)
		})
	}
}

func TestReadsTakeAsOfAndFilters(t *testing.T) {
	s := newSite(t).withExample()
	const job = "/api/jobs/garden-studio"
	later := into[PlanBody](s.get(job + "/plan?as_of=2026-04-27").want(http.StatusOK))
	if later.AsOf.String() != "2026-04-27" || later.Plan.AsOf.Format("2006-01-02") != "2026-04-27" {
		t.Errorf("as of %s, plan as of %s", later.AsOf, later.Plan.AsOf)
	}
	for _, step := range into[StepsBody](s.get(job + "/steps?trade=windows&state=waiting&place=wall-north").want(http.StatusOK)).Steps {
		if !slices.Contains(step.Trades, "windows") || step.State != scheduler.Waiting || !slices.Contains(step.Places, "wall-north") {
			t.Errorf("%s does not fit: %v %v %s", step.ID, step.Trades, step.Places, step.State)
		}
	}
	if all := into[StepsBody](s.get(job + "/steps?trade=windows")); len(all.Steps) == 0 {
		t.Error("no steps of the trade windows")
	}
	windows := into[WindowsBody](s.get(job + "/windows?trade=windows").want(http.StatusOK)).Windows
	if len(windows) == 0 {
		t.Error("no windows of the trade windows")
	}
	for _, w := range windows {
		if w.Trade != "windows" {
			t.Errorf("window of %s", w.Trade)
		}
	}
	open := into[AlertsBody](s.get(job + "/alerts")).Alerts
	for _, a := range open {
		if a.Aside != "" {
			t.Errorf("%s was set aside", a.Key)
		}
	}
	if all := into[AlertsBody](s.get(job + "/alerts?aside=true")).Alerts; len(all) <= len(open) {
		t.Errorf("%d alerts with those set aside, %d without", len(all), len(open))
	}
	for _, a := range into[AlertsBody](s.get(job + "/alerts?severity=grave")).Alerts {
		if a.Severity != scheduler.Grave {
			t.Errorf("%s is %s", a.Key, a.Severity)
		}
	}
	if lines := into[HistoryBody](s.get(job + "/history?limit=1").want(http.StatusOK)).Lines; len(lines) != 1 || lines[0].Who == "" {
		t.Errorf("history %+v", lines)
	}
}

func TestReadsOfWhatIsNotThere(t *testing.T) {
	s := newSite(t).withExample()
	const job = "/api/jobs/garden-studio"
	for _, path := range []string{
		"/api/jobs/palace", "/api/jobs/palace/file", "/api/jobs/palace/plan", "/api/jobs/palace/history", "/api/jobs/palace/events",
		job + "/steps/roof", job + "/steps/roof/why", job + "/holds/frame", job + "/orders/doors",
		job + "/trades/roofing", job + "/trades/roofing/windows", job + "/trades/roofing/calendar",
	} {
		s.get(path).problem(http.StatusNotFound, "not-found")
	}
	s.get("/api/jobs/palace/plan", header("If-None-Match", `"1"`)).problem(http.StatusNotFound, "not-found")
}

func TestReadsOfWhatCannotBe(t *testing.T) {
	s := newSite(t).withExample()
	const job = "/api/jobs/garden-studio"
	for path, word := range map[string]string{
		job + "/plan?as_of=2026-02-30":                    "as_of",
		job + "/plan?as_of=soon":                          "as_of",
		job + "/plan?as-of=2026-05-01":                    "unknown query parameter",
		job + "/steps?state=idle":                         "state",
		job + "/alerts?severity=dire":                     "severity",
		job + "/history?limit=0":                          "limit",
		job + "/history?limit=many":                       "limit",
		job + "/waits?" + "x=" + strings.Repeat("y", 200): "unknown query parameter",
	} {
		p := s.get(path).problem(http.StatusUnprocessableEntity, "invalid", word)
		for _, d := range p.Errors {
			if text, ok := d.Value.(string); ok && len(text) > longestQuote {
				t.Errorf("%d bytes of the request sent back", len(text))
			}
		}
	}
	for _, far := range []string{"0001-01-01", "9999-12-31"} {
		s.get(job+"/plan?as_of="+far).problem(http.StatusUnprocessableEntity, "impossible", "too far")
		s.get(job+"/plan?as_of="+far, header("If-None-Match", `"1"`)).problem(http.StatusUnprocessableEntity, "impossible", "too far")
	}
}
