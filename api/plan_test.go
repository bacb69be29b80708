package api

import (
	"bytes"
	"encoding/json"
	"testing"

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
		{Standing{Revision: 7, AsOf: &day}, plan},
		{Standing{Revision: 1}, &scheduler.Plan{Title: "<a> & “b”"}},
	} {
		type plain PlanBody // without its own way
		var want, got bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		if err := e.Encode(plain(body)); err != nil {
			t.Fatal(err)
		}
		if err := jsonFormat().Marshal(&got, body); err != nil {
			t.Fatal(err)
		}
		if got.String() != want.String() {
			t.Errorf("got\n%s\nwant\n%s", &got, &want)
		}
	}
}
