package db

import (
	"bytes"
	"compress/flate"
	"strconv"
	"strings"
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
	var text bytes.Buffer
	if n, err := packed.WriteTo(&text); err != nil || text.String() != string(planfile.Append(nil, plan)) || n != int64(text.Len()) {
		t.Errorf("the text of a packed plan is %s (%v)", &text, err)
	}
	for _, bad := range [][]byte{nil, {packedByS2}, bytes.Repeat([]byte{packedByS2}, 9), {packedByS2, 3, 200, 1, 2}, now[:len(now)/2], append([]byte{7}, now...)} {
		if _, err := unpack(bad); err == nil {
			t.Errorf("%d damaged bytes were read", len(bad))
		}
	}
}

// TestALargePlanIsPackedInPieces: of more than is packed at once all comes back.
func TestALargePlanIsPackedInPieces(t *testing.T) {
	plan := &scheduler.Plan{Job: "garage"}
	for k := range 5000 {
		plan.Steps = append(plan.Steps, scheduler.PlannedStep{ID: scheduler.ID(strconv.Itoa(k)), Title: strings.Repeat("long ", k%200)})
	}
	packed, want := Pack(plan), planfile.Append(nil, plan)
	var text bytes.Buffer
	if _, err := packed.WriteTo(&text); err != nil || !bytes.Equal(text.Bytes(), want) {
		t.Errorf("%d bytes came back of %d (%v)", text.Len(), len(want), err)
	}
	if again, err := unpacked(packed.packed); err != nil || !bytes.Equal(again, want) {
		t.Errorf("%d bytes were unpacked of %d (%v)", len(again), len(want), err)
	}
	if len(want) < 3<<20 || len(packed.packed) > len(want)/4 {
		t.Errorf("the test shows little: %d bytes packed to %d", len(want), len(packed.packed))
	}
}
