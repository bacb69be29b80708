package api

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
)

const trials = garden + "/trials"

// slip has the windows come two weeks late, and the framers send a second crew.
const slip = `{"title":"Late windows","changes":[{"expected":{"step":"windows.delivery","day":"2026-05-19"}},{"crews":{"trade":"framing","crews":2}}]}`

// TestATrialComesToWhatItSaid: what a trial would move is what has moved once it is adopted,
// and its plan is the plan then. Until then the job stays as it is.
func TestATrialComesToWhatItSaid(t *testing.T) {
	s := newSite(t).withExample()
	s.text(http.StatusOK, "POST", garden+"/issues", `{"by":"ida"}`) // what the job is compared with later
	before := s.get(garden + "/plan")
	made := s.send("POST", trials, slip).want(http.StatusCreated)
	if tag := made.header.Get("ETag"); tag != `"trial-1"` {
		t.Errorf("the ETag of a new trial is %s", tag)
	}
	if b := into[TrialBody](made); b.Trial != 1 || len(b.Changes) != 2 || !strings.Contains(b.Changes[0].Says, "Windows") || b.Changes[1].Crews.Crews != 2 {
		t.Errorf("made: %s", made.body)
	}
	outcome := into[OutcomeBody](s.get(trials + "/1/outcome"))
	if outcome.Version != 1 || outcome.Revision != 2 || len(outcome.Moved.Calls) == 0 || len(outcome.Fresh) == 0 {
		t.Errorf("the outcome: %+v", outcome)
	}
	tried := into[TrialPlanBody](s.get(trials + "/1/plan"))
	if again := s.get(garden + "/plan"); string(again.body) != string(before.body) {
		t.Error("the job is another one by a trial")
	}
	s.send("POST", trials+"/1/adopt", "").want(http.StatusOK)
	if diff := cmp.Diff(tried.Plan, into[PlanBody](s.get(garden+"/plan")).Plan); diff != "" {
		t.Errorf("the trial's plan and the one after it was adopted (-, +):\n%s", diff)
	}
	if diff := cmp.Diff(outcome.Moved.Calls, into[MovedBody](s.get(garden+"/moved")).Moved.Calls); diff != "" {
		t.Errorf("who would have to be told, and who has (-, +):\n%s", diff)
	}
	adopted := into[TrialBody](s.get(trials + "/1"))
	if adopted.Adopted == nil || *adopted.Adopted != 3 {
		t.Errorf("it was adopted in %v", adopted.Adopted)
	}
	s.send("GET", trials+"/1/outcome", "").problem(http.StatusConflict, "already", "adopted in revision 3")
	s.send("POST", trials+"/1/adopt", "").problem(http.StatusConflict, "already", "adopted in revision 3")
}

// TestATrialIsChanged: changes come in and go out, each answer with the trial as it is.
func TestATrialIsChanged(t *testing.T) {
	s := newSite(t).withExample()
	s.send("POST", trials, slip).want(http.StatusCreated)
	says := func(got answer) (all []string) {
		for _, c := range into[TrialBody](got.want(http.StatusOK)).Changes {
			all = append(all, c.Says)
		}
		return all
	}
	if got := says(s.send("POST", trials+"/1/changes", `{"changes":[{"takes":{"step":"clad","takes":"8 days"}},{"crews":{"trade":"framing","crews":3}}]}`)); len(got) != 3 || !strings.Contains(got[2], "3 crews") {
		t.Errorf("after more of them: %q", got)
	}
	put := `{"changes":[{"put":{"path":["tasks","sweep"],"text":"{title: Sweep up, trade: cladding, place: house, takes: 1 hour}"}}]}`
	if got := says(s.send("POST", trials+"/1/changes", put)); len(got) != 4 || !strings.Contains(got[3], "Sweep up") {
		t.Errorf("after a task was put: %q", got)
	}
	if plan := into[TrialPlanBody](s.get(trials + "/1/plan")).Plan; !slices.ContainsFunc(plan.Steps, func(s scheduler.PlannedStep) bool { return s.ID == "sweep" }) {
		t.Error("the new task is not planned")
	}
	s.send("DELETE", trials+"/1/changes/5", "").problem(http.StatusNotFound, "not-found", "change 5")
	if got := says(s.send("DELETE", trials+"/1/changes/1", "")); len(got) != 3 || !strings.Contains(got[0], "8 days") {
		t.Errorf("without the first: %q", got)
	}
	if all := into[TrialsBody](s.get(trials)).Trials; len(all) != 1 || all[0].Version != 4 {
		t.Errorf("the trials: %+v", all)
	}
	s.send("DELETE", trials+"/1", "").want(http.StatusNoContent)
	s.send("GET", trials+"/1", "").problem(http.StatusNotFound, "not-found", "trial 1")
	if all := into[TrialsBody](s.get(trials)).Trials; len(all) != 0 {
		t.Errorf("a trial that was thrown away is listed: %+v", all)
	}
}

// TestTrialsThatAreRefused: each says which change does not go, where and why; the job and
// the trial stay as they are.
func TestTrialsThatAreRefused(t *testing.T) {
	s := newSite(t).withExample()
	s.send("POST", trials, slip).want(http.StatusCreated)
	for _, c := range []struct {
		method, path, body string
		status             int
		kind, word         string
	}{
		{"POST", "", `{"title":"  "}`, http.StatusUnprocessableEntity, "incomplete", "the title is missing"},
		{"POST", "", `{"title":"x","changes":[{}]}`, http.StatusUnprocessableEntity, "incomplete", "Change 1 of the trial does not go"},
		{"POST", "/1/changes", `{"changes":[{"takes":{"step":"moon","takes":"1 day"}}]}`, http.StatusUnprocessableEntity, "not-found", "Change 3 of the trial does not go"},
		{"POST", "/1/changes", `{"changes":[{"crews":{"trade":"framing","crews":-1}}]}`, http.StatusUnprocessableEntity, "impossible", "Change 2 of the trial does not go"},
		{"POST", "/1/changes", `{"changes":[{"takes":{"step":"clad","takes":"soon"}}]}`, http.StatusUnprocessableEntity, "invalid", ""},
		{"POST", "/1/changes", `{"changes":[{"put":{"path":["tasks","sweep"],"text":"{title: Sweep up, trade: nobody}"}}]}`, http.StatusUnprocessableEntity, "unsound", `"location":"trade"`},
		{"POST", "/1/changes", `{"changes":[{"put":{"path":["facts","frame"],"text":"{done: 2026-04-10}"}}]}`, http.StatusUnprocessableEntity, "wrong-kind", "nothing that a trial can change"},
		{"POST", "/1/changes", `{"changes":[]}`, http.StatusUnprocessableEntity, "invalid", ""},
		{"POST", "/9/changes", `{"changes":[{"crews":{"trade":"framing","crews":2}}]}`, http.StatusNotFound, "not-found", "trial 9"},
		{"POST", "/9/adopt", "", http.StatusNotFound, "not-found", "trial 9"},
		{"GET", "/9/outcome", "", http.StatusNotFound, "not-found", "trial 9"},
		{"DELETE", "/9", "", http.StatusNotFound, "not-found", "trial 9"},
	} {
		s.send(c.method, trials+c.path, c.body).problem(c.status, c.kind, c.word)
	}
	if all := into[TrialsBody](s.get(trials)).Trials; len(all) != 1 || all[0].Version != 1 {
		t.Errorf("the trials: %+v", all)
	}
	if tag := s.get(garden).header.Get("ETag"); tag != `"1"` {
		t.Errorf("the job is at %s", tag)
	}
}

// TestATrialThatNoLongerGoes: the job has moved on under it. Nothing comes of it then, and
// it says which of its changes is to blame.
func TestATrialThatNoLongerGoes(t *testing.T) {
	s := newSite(t).withExample()
	s.send("POST", trials, slip).want(http.StatusCreated)
	s.text(http.StatusOK, "PATCH", garden+"/facts/windows.making", `{"done":"2026-04-10"}`)
	s.text(http.StatusOK, "PATCH", garden+"/facts/windows.carriage", `{"started":"2026-04-10","done":"2026-04-12"}`)
	s.text(http.StatusOK, "POST", garden+"/holds/windows.delivery/release", `{"by":"kim","at":"2026-04-13"}`)
	for _, path := range []string{"/1/outcome", "/1/plan"} {
		s.send("GET", trials+path, "").problem(http.StatusConflict, "already", "Change 1 of the trial does not go")
	}
	s.send("POST", trials+"/1/adopt", "").problem(http.StatusConflict, "already", "Change 1 of the trial does not go")
}

// TestATrialOfSomebodyElsesState: who names the state that they have seen changes no other.
func TestATrialOfSomebodyElsesState(t *testing.T) {
	s := newSite(t).withExample()
	first := s.send("POST", trials, slip, header("Idempotency-Key", "mine"))
	if again := s.send("POST", trials, slip, header("Idempotency-Key", "mine")); string(again.body) != string(first.body) {
		t.Errorf("first %s, then %s", first.body, again.body)
	}
	const more = `{"changes":[{"crews":{"trade":"cladding","crews":2}}]}`
	s.send("POST", trials+"/1/changes", more, header("If-Match", `"trial-1"`)).want(http.StatusOK)
	for _, seen := range []string{`"trial-1"`, `"trial-x"`, `"7"`} {
		for _, c := range [][2]string{{"POST", "/1/changes"}, {"DELETE", "/1/changes/1"}, {"POST", "/1/adopt"}, {"DELETE", "/1"}} {
			body := ""
			if c[1] == "/1/changes" {
				body = more
			}
			s.send(c[0], trials+c[1], body, header("If-Match", seen)).problem(http.StatusPreconditionFailed, "trial-changed", "Read the trial again")
		}
	}
	outcome := s.get(trials + "/1/outcome")
	s.send("GET", trials+"/1/outcome", "", header("If-None-Match", outcome.header.Get("ETag"))).want(http.StatusNotModified)
	s.send("DELETE", trials+"/1/changes/1", "", header("If-Match", `"trial-2"`)).want(http.StatusOK)
	s.send("GET", trials+"/1/outcome", "", header("If-None-Match", outcome.header.Get("ETag"))).want(http.StatusOK)
	adopted := s.send("POST", trials+"/1/adopt", "", header("Idempotency-Key", "now"), header("If-Match", `"trial-3"`)).want(http.StatusOK)
	again := s.send("POST", trials+"/1/adopt", "", header("Idempotency-Key", "now"), header("If-Match", `"trial-3"`)).want(http.StatusOK)
	if string(adopted.body) != string(again.body) {
		t.Errorf("adopted %s, then %s", adopted.body, again.body)
	}
}

// TestATrialOpensToNobodyWhatIsNotTheirs: the designer tries another crew, and leaves it to
// others to make it so.
func TestATrialOpensToNobodyWhatIsNotTheirs(t *testing.T) {
	c := newCast(t)
	designer := c.find("the designer")
	c.send("POST", trials, slip, designer.by(t)).want(http.StatusCreated)
	c.get(trials+"/1/outcome", designer.by(t))
	c.send("POST", trials+"/1/adopt", "", designer.by(t)).problem(http.StatusForbidden, "not-allowed", "not yours to make in the job")
	c.get(trials+"/1/outcome", c.find("the reader").by(t))
	c.send("POST", trials, slip, c.find("the reader").by(t)).problem(http.StatusForbidden, "not-allowed", "Only")
	c.send("POST", trials+"/1/adopt", "", c.find("the site lead").by(t)).want(http.StatusOK)
}
