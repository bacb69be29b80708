package api

import (
	"bytes"
	"encoding/json"
	"testing"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// TestPlanIsWrittenAsEncodingJSONWould holds the quick way to the usual one.
func TestPlanIsWrittenAsEncodingJSONWould(t *testing.T) {
	day := worktime.NewDate(2026, 3, 2)
	plan, err := planner.Plan(t.Context(), randomjob.New(1, randomjob.Size{}), planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, body := range []PlanBody{
		{Standing: Standing{Revision: 7, AsOf: &day}, Plan: plan},
		{Standing: Standing{Revision: 1}, Plan: &scheduler.Plan{Title: "<a> & “b”"}},
	} {
		type plain struct { // without its own way
			Standing
			Plan *scheduler.Plan `json:"plan"`
		}
		var want, got bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		if err := e.Encode(plain{body.Standing, body.Plan}); err != nil {
			t.Fatal(err)
		}
		body.write = (&office.Sheet{Plan: body.Plan}).WritePlan
		if err := jsonFormat().Marshal(&got, body); err != nil {
			t.Fatal(err)
		}
		if got.String() != want.String() {
			t.Errorf("got\n%s\nwant\n%s", &got, &want)
		}
	}
}
