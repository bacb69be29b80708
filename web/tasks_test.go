package web

import (
	"net/http"
	"strings"
	"testing"

	"gaugerod/api/rights"
	"gaugerod/scheduler"
)

func at(path string) func(*site) string {
	return func(s *site) string { return strings.Replace(path, "JOB", s.job, 1) }
}

func ofStep(step func(*site) string) func(*site) string {
	return func(s *site) string { return s.job + "/steps/" + step(s) }
}

// workAhead is work that can begin now.
func workAhead(s *site) string {
	for _, step := range s.sheet().Plan.Steps {
		if step.Kind == scheduler.TaskStep && step.State == scheduler.Ready {
			return string(step.ID)
		}
	}
	s.t.Fatal("no work can begin")
	return ""
}

// withForm is the first step whose page has a form of that name.
func withForm(id string) func(*site) string {
	return func(s *site) string {
		for _, step := range s.sheet().Plan.Steps {
			path := s.job + "/steps/" + string(step.ID)
			if w, doc := s.get(path); w.Code == http.StatusOK && len(find(doc, "#"+id)) > 0 {
				return path
			}
		}
		s.t.Fatalf("no step has #%s", id)
		return ""
	}
}

// after is a page once a form of another was sent.
func after(first, form string, fields map[string]string, page string) func(*site) string {
	return func(s *site) string {
		f := s.hiddenFields(strings.Replace(first, "JOB", s.job, 1), form)
		for name, value := range fields {
			f.Set(name, value)
		}
		s.mustPost(s.job+form, f)
		return strings.Replace(page, "JOB", s.job, 1)
	}
}

var everyTask = []task{
	// What happens on site, and what was said.
	{
		name: "record a start", route: "POST /jobs/:job/steps/:step/progress", page: ofStep(workAhead),
		does: []act{fillIn("#progress-started", "2026-06-15"), press("#progress button")}, in: "h1 .state", words: "under way",
	},
	{
		name: "release a hold point", route: "POST /jobs/:job/steps/:step/release", page: ofStep(someHold),
		does: []act{fillIn("#release-note", "Looked at on site"), press("#release button")}, in: "h1 .state", words: "released",
	},
	{
		name: "refuse a hold point", route: "POST /jobs/:job/steps/:step/refuse", page: ofStep(someHold),
		does: []act{fillIn("#refuse-note", "A seam is open"), press("#refuse button")}, in: "h1 .state", words: "refused",
	},
	{
		name: "book a visit", route: "POST /jobs/:job/steps/:step/book", page: withForm("book"),
		does: []act{fillIn("#book [name=day]", "2026-07-20"), press("#book button")}, in: "main", words: "ooked",
	},
	{
		name: "tell the latest word of a delivery", route: "POST /jobs/:job/steps/:step/expect", page: ofStep(func(s *site) string { return string(drivingDelivery(s)) }),
		does: []act{fillIn("#expect-day", "2026-10-30"), press("#expect button")}, in: ".said", words: "The finish moves from",
	},
	{
		name: "take back what was recorded", route: "POST /jobs/:job/steps/:step/take-back", page: withForm("take-back"),
		does: []act{press("#take-back button")}, in: ".said", words: "aken back",
	},
	{
		name: "say what a trade said", route: "POST /jobs/:job/trades/:trade/said", page: at("JOB/trades/windows"),
		does: []act{fillIn("#said-from", "2026-07-06"), fillIn("#said-to", "2026-07-08"), fillIn("#said-by", "owner"), press("form[action$='/said'] button[value=cannot]")}, in: ".said", words: "cannot come",
	},
	{
		name: "set an alert aside", route: "POST /jobs/:job/alerts/aside", page: at("JOB/alerts"),
		does: []act{press(".alert a.choose"), fillIn("#chosen [name=by]", "owner"), fillIn("#chosen [name=reason]", "We know"), press("#chosen button")}, in: "main", words: "We know",
	},
	{
		name: "bring an alert back", route: "POST /jobs/:job/alerts/back", page: at("JOB/alerts"),
		does: []act{press("form[action$='/alerts/back'] button")}, in: ".said", words: "alert",
	},
	{
		name: "plan from another day", route: "POST /jobs/:job/as-of", page: at("JOB"),
		does: []act{fillIn("#as-of-day", "2026-06-19"), press("form[action$='/as-of'] button")}, in: ".standing", words: "19 Jun",
	},
	{
		name: "issue the plan", route: "POST /jobs/:job/issued", page: at("JOB/issued"),
		does: []act{fillIn("#issue-note", "For all trades"), fillIn("#issue-by", "owner"), press("form[action$='/issued'] button")}, in: "main", words: "For all trades",
	},

	// Trials.
	{
		name: "begin a trial", route: "POST /jobs/:job/trials", page: at("JOB/trials"),
		does: []act{fillIn("#trial-title", "Windows late"), press("form[action$='/trials'] button")}, in: "h1", words: "Windows late",
	},
	{
		name: "try a later delivery", route: "POST /jobs/:job/trials/:trial/add", page: newTrial,
		does: []act{fillIn("#t-delivery", "windows.delivery"), fillIn("#t-expected", "2026-10-30"), press("form[data-try] button:not(.light)")}, in: "#effect", words: "The finish moves from",
	},
	{
		name: "look before trying", route: "GET /jobs/:job/trials/:trial/would", page: newTrial,
		does: []act{fillIn("#t-delivery", "windows.delivery"), fillIn("#t-expected", "2026-10-30"), press("form[data-try] button.light")}, in: "#effect .look", words: "not added",
	},
	{
		name: "take a change out of a trial", route: "POST /jobs/:job/trials/:trial/take-out", page: lateTrial,
		does: []act{press("#changes form[action$='/take-out'] button")}, in: "#changes", words: "Nothing yet.",
	},
	{
		name: "adopt a trial", route: "POST /jobs/:job/trials/:trial/adopt", page: lateTrial,
		// The designer may not say what comes when, and is told so.
		roles: []scheduler.Role{scheduler.Owner, scheduler.SiteLead},
		does:  []act{press("#end form[action$='/adopt'] button")}, in: "main", words: "Adopted",
	},
	{
		name: "be told who may adopt a trial", route: "POST /jobs/:job/trials/:trial/adopt", page: lateTrial,
		roles: []scheduler.Role{scheduler.Designer}, in: "#end", words: "owner",
	},
	{
		name: "throw a trial away", route: "POST /jobs/:job/trials/:trial/throw-away", page: lateTrial,
		does: []act{press("#end form[action$='/throw-away'] button")}, in: "main", words: "No trial is open",
	},

	// Layers and the job itself.
	{
		name: "change the order of layers", route: "POST /jobs/:job/layers/:buildup/order", page: at("JOB/layers/roof-skin/order?layer=underlay&after=strip"),
		does: []act{press("form[action$='/order'] button:not(.light)")}, in: ".said", words: "order",
	},
	{
		name: "try an order of layers", route: "POST /jobs/:job/layers/:buildup/order", page: at("JOB/layers/roof-skin/order?layer=underlay&after=strip"),
		does: []act{press("form[action$='/order'] button[value=try]")}, in: "#changes", words: "oof underlay",
	},
	{
		name: "write down the revision of a drawing", route: "POST /jobs/:job/design/:kind/:thing", page: at("JOB/orders"),
		does: []act{follow("#drawings a[href$='/drawings/a-33']"), fillIn("#ask-revision", "Q7"), press(keepIt)}, in: "main", words: "Q7",
	},
	{
		name: "change a build-up", route: "POST /jobs/:job/design/:kind/:thing", page: at("JOB/design/build-ups/wall-skin"),
		does: []act{fillIn("#ask-title", "The skin of the walls"), press(keepIt)}, in: "main", words: "The skin of the walls",
	},
	{
		name: "change a task", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/tasks/defects"),
		does: []act{fillIn("#ask-title", "Put all of it right"), press(keepIt)}, in: "main", words: "Put all of it right",
	},
	{
		name: "be told what is wrong with a task", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/tasks/defects"),
		does: []act{fillIn("#ask-takes", "soon"), press(keepIt)}, in: "form.thing .ask .problem", words: "soon",
	},
	{
		name: "add a task", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/tasks/+"),
		does: []act{fillIn("#ask-title", "Sweep"), fillIn("#ask-takes", "1 day"), press(keepIt)}, in: "main", words: "Sweep",
	},
	{
		name: "add a place", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/places/+"),
		does: []act{fillIn("#ask-title", "Shed"), press(keepIt)}, in: "main", words: "Shed",
	},
	{
		name: "add a trade", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/trades/+"),
		does: []act{fillIn("#ask-title", "Stonework"), press(keepIt)}, in: "main", words: "Stonework",
	},
	{
		name: "move a task down", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/tasks"),
		does: []act{press("form.ranged ~ ul button[value=down], form.ranged button[value=down]")}, in: "main .said", words: "The order is another now.",
	},
	{
		name: "try a change of a task", route: "POST /jobs/:job/edit/:kind/:thing", page: at("JOB/edit/tasks/defects"),
		does: []act{fillIn("#ask-takes", "5 days"), press("form.thing .tryin button")}, in: "#changes", words: "5 days",
	},

	{
		name: "change a task of a typical", route: "POST /jobs/:job/edit/:kind/:thing/:part/:inner", page: at("JOB/edit/typicals/facades/tasks/membrane"),
		does: []act{fillIn("#ask-title", "Membrane on"), press(keepIt)}, in: "main", words: "Membrane on",
	},
	{
		name: "change anything in a trial", route: "POST /jobs/:job/trials/:trial/edit/:kind/:thing", page: func(s *site) string { return lateTrial(s) + "/edit/tasks/defects" },
		does: []act{fillIn("#ask-takes", "9 days"), press(keepIt)}, in: "main", words: "9 days",
	},
	{
		name: "change a part of a thing in a trial", route: "POST /jobs/:job/trials/:trial/edit/:kind/:thing/:part/:inner",
		page: func(s *site) string { return lateTrial(s) + "/edit/typicals/facades/tasks/membrane" },
		does: []act{fillIn("#ask-title", "Membrane on"), press(keepIt)}, in: "main", words: "Membrane on",
	},

	// A trade, by its link.
	{
		name: "confirm a window", route: "POST /mine/windows/:window/confirm", page: at("/mine"),
		does: []act{press("form[action$='/confirm'] button")}, in: "main", words: "onfirmed",
	},
	{
		name: "say that we cannot come", route: "POST /mine/windows/:window/cannot-come", page: at("/mine"),
		does: []act{fillIn("#w-0-from", "2026-07-06"), fillIn("#w-0-to", "2026-07-07"), fillIn("#w-0-note", "The van is ill"), press("form[action$='/cannot-come'] button")}, in: ".said", words: "annot come",
	},
	{
		name: "say that work began", route: "POST /mine/steps/:step/progress", page: at("/mine"),
		does: []act{press("form[action$='/progress'] button[value=started]")}, in: ".said", words: "progress is recorded",
	},
	{
		name: "say that work is done", route: "POST /mine/steps/:step/progress", page: at("/mine"),
		does: []act{press("form[action$='/progress'] button[value=done]")}, in: ".said", words: "progress is recorded",
	},
	{
		name: "say that work is part done", route: "POST /mine/steps/:step/progress", page: at("/mine"),
		does: []act{fillIn("form[action$='/progress'] [name=left]", "1"), press("form[action$='/progress'] button[value=part]")}, in: ".said", words: "progress is recorded",
	},

	// Reading: anybody with a seat.
	{
		name: "ask for an earlier day", route: "GET /jobs/:job/steps/:step", page: ofStep(someStep),
		does: []act{fillIn("#earlier-days", "5"), press("#earlier button")}, in: "#earlier", words: "days earlier, on",
	},
	{
		name: "follow the week to why", route: "GET /jobs/:job/steps/:step", page: at("JOB"),
		does: []act{follow("main a[href*='/steps/']")}, in: "#why h2", words: "Why on that day",
	},
	{
		name: "zoom out to the whole job", route: "GET /jobs/:job/places", page: at("JOB/places"),
		does: []act{press(".zoom a[href*='weeks=0']")}, in: ".zoom a[aria-current=true][href*='weeks=0']", words: "whole",
	},
	{
		name: "seek a task", route: "GET /jobs/:job/edit/:kind", page: at("JOB/edit/tasks"),
		does: []act{fillIn("#seek", "defects"), press("form.seek button")}, in: "main", words: "Put right what the final inspection listed",
	},
	{
		name: "undo a change", route: "POST /jobs/:job/undo", page: after("JOB", "/as-of", map[string]string{"day": "2026-06-16"}, "JOB/history"), kept: true,
		roles: []scheduler.Role{scheduler.Owner}, // others only what they did themselves
		does:  []act{press("form[action$='/undo'] button")}, in: ".said", words: "ndone",
	},
	{
		name: "make a private link", route: "POST /jobs/:job/links", page: at("JOB/people"),
		does: []act{fillIn("#link-label", "The setters"), fillIn("#link-trade", "windows"), press("form[action$='/links'] button")}, in: ".said", words: "The private link of The setters",
	},
}

// newTrial is a trial with nothing in it yet.
func newTrial(s *site) string {
	return after("JOB/trials", "/trials", map[string]string{"title": "Late"}, "JOB/trials/1")(s)
}

// lateTrial is a trial with one change in it.
func lateTrial(s *site) string {
	to := newTrial(s)
	s.mustPost(to+"/add", map[string][]string{"what": {"expected"}, "step": {"windows.delivery"}, "day": {"2026-10-30"}})
	return to
}

// doneElsewhere are the forms of pages that are not in the table of tasks, and where they are
// tried.
var doneElsewhere = map[string]string{
	"POST /new-job":         "TestAFirstJobOnAPhone",
	"POST /jobs/:job/begin": "TestAFirstJobOnAPhone",

	"POST /jobs/:job/steps/:step/attach":             "a file is chosen outside the page: TestAttachingOnAStepsPage and, over the API, TestAttachments",
	"POST /jobs/:job/attachments/:attachment/remove": "the same",
	"POST /jobs/:job/trades/:trade/sheet.pdf":        "it answers with a file, not a page: TestASheetWithALink",

	// The accounts of this package's tests are made up and do not change: api sends these forms.
	"POST /jobs/:job/people":               "api",
	"POST /jobs/:job/people/:account":      "api",
	"POST /jobs/:job/people/:account/link": "api",
	"POST /jobs/:job/links/:link/revoke":   "api",
	"POST /you":                            "api",
	"POST /you/password":                   "api",
	"POST /you/sessions":                   "api",
	"POST /you/device":                     "api",
}

// TestEveryFormIsATask: each form that the table of rights names is one of the tasks, or it
// stands above where else it is tried.
func TestEveryFormIsATask(t *testing.T) {
	sent := map[string]bool{}
	for _, c := range everyTask {
		sent[c.route] = true
		if _, ok := rights.Pages[c.route]; !ok {
			t.Errorf("%s: there is no %s", c.name, c.route)
		}
	}
	for route := range rights.Pages {
		if strings.HasPrefix(route, http.MethodPost) && sent[route] == (doneElsewhere[route] != "") {
			t.Errorf("%s: a task of the table: %v; done elsewhere: %q; it has to be one of the two", route, sent[route], doneElsewhere[route])
		}
	}
	for route := range doneElsewhere {
		if _, ok := rights.Pages[route]; !ok {
			t.Errorf("there is no %s", route)
		}
	}
}
