package db

import (
	"bytes"
	"compress/flate"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
)

// TestPlansOfBeforeAreRead: plans were kept deflated once; they are still read.
func TestPlansOfBeforeAreRead(t *testing.T) {
	plan := &scheduler.Plan{Job: "garage", AsOf: time.Date(2026, 5, 18, 0, 0, 0, 0, time.UTC), Finish: time.Date(2026, 6, 1, 16, 0, 0, 0, time.UTC), Engine: 7}
	var before bytes.Buffer
	w, err := flate.NewWriter(&before, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	if err := planfile.Stream(w, plan); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	now := Pack(plan).packed
	for name, packed := range map[string][]byte{"deflated": before.Bytes(), "as now": now} {
		got, err := unpack(packed)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if d := cmp.Diff(plan.Finish, got.Finish); d != "" || got.Job != plan.Job || got.Engine != plan.Engine {
			t.Errorf("%s: came back otherwise: %s", name, d)
		}
	}
	packed := Pack(plan)
	if text, err := packed.Text(); err != nil || string(text) != string(planfile.Append(nil, plan)) {
		t.Errorf("the text of a packed plan is %s (%v)", text, err)
	}
	for _, bad := range [][]byte{nil, {packedByS2}, now[:len(now)/2], append([]byte{7}, now...)} {
		if _, err := unpack(bad); err == nil {
			t.Errorf("%d damaged bytes were read", len(bad))
		}
	}
}
