package api

import (
	"encoding/json"
	"net/http"
	"testing"
	"time"
)

// TestComparisonOfRevisions has two revisions compared: it is made as heavy work, once.
func TestComparisonOfRevisions(t *testing.T) {
	s := newSite(t).withExample()
	run(t, s)
	s.crews(2)
	path := garden + "/comparisons/2/1"
	s.get(path).problem(http.StatusNotFound, "not-found")
	s.send("PUT", path, "").want(http.StatusOK)
	var body ComparisonBody
	for end := time.Now().Add(time.Minute); body.State != "done"; time.Sleep(50 * time.Millisecond) {
		if err := json.Unmarshal(s.get(path).want(http.StatusOK).body, &body); err != nil {
			t.Fatal(err)
		}
		if body.State == "given up" || time.Now().After(end) {
			t.Fatalf("after a minute: %+v", body)
		}
	}
	if body.Moved == nil || body.Ended == nil || body.Moved.AsOf != body.AsOf {
		t.Errorf("what came of it: %+v", body)
	}
	s.send("PUT", garden+"/comparisons/1/2", "").problem(http.StatusUnprocessableEntity, "impossible")
	s.send("PUT", garden+"/comparisons/9/1", "").problem(http.StatusNotFound, "not-found")
	s.send("PUT", garden+"/comparisons/2/ZZ", "").problem(http.StatusNotFound, "not-found")
}

func TestSearchesAreListed(t *testing.T) {
	s := newSite(t).withExample()
	var body SearchesBody
	if err := json.Unmarshal(s.get(garden+"/searches").want(http.StatusOK).body, &body); err != nil || len(body.Searches) != 0 {
		t.Errorf("%+v, %v", body, err)
	}
	s.get("/api/jobs/palace/searches").problem(http.StatusNotFound, "not-found")
}
