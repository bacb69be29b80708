package api

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

func TestBodiesAreKeptBesideTheirSheet(t *testing.T) {
	sheet := &office.Sheet{Plan: &scheduler.Plan{Steps: make([]scheduler.PlannedStep, keptSteps)}}
	written := 0
	write := func(w io.Writer, _ any) error {
		written++
		_, err := io.WriteString(w, "text")
		return err
	}
	// The first time a body is only noted, the second time it is kept.
	for round, want := range []int{2, 4, 4, 4} {
		for _, body := range []any{HoldsBody{kept: keptBeside(sheet)}, WindowsBody{kept: keptBeside(sheet)}} {
			var w bytes.Buffer
			if err := writeKept(&w, body, write); err != nil || w.String() != "text" {
				t.Errorf("%T is %q: %v", body, w.String(), err)
			}
		}
		if written != want {
			t.Errorf("read %d times, two bodies of one sheet were written %d times, want %d", round+1, written, want)
		}
	}
	sheet.Plan.Steps = append(sheet.Plan.Steps, scheduler.PlannedStep{})
	for _, body := range []any{HoldsBody{kept: keptBeside(sheet)}, HoldsBody{}, StepBody{}} {
		if err := writeKept(io.Discard, body, write); err != nil {
			t.Error(err)
		}
	}
	if written != 7 {
		t.Errorf("bodies of a large sheet, and those that are not the same for all, are kept: %d", written)
	}
}

func TestBodyThatCannotBeWritten(t *testing.T) {
	broken := errors.New("broken")
	body := HoldsBody{kept: kept{new(office.Beside)}}
	for range 3 {
		if err := writeKept(io.Discard, body, func(io.Writer, any) error { return broken }); !errors.Is(err, broken) {
			t.Errorf("%v", err)
		}
	}
}

// TestKeptBodiesAreThoseOfAll asks for lists of all and of some by turns.
func TestKeptBodiesAreThoseOfAll(t *testing.T) {
	s := newSite(t).withExample()
	for _, c := range []struct{ all, some string }{
		{garden + "/windows", "?trade=cladding"}, {garden + "/windows", "?place=wall-north"}, {garden + "/alerts", "?severity=note"},
	} {
		whole := string(s.get(c.all).want(200).body)
		some := string(s.get(c.all + c.some).want(200).body)
		if whole == some {
			t.Errorf("%s gives all with %s too", c.all, c.some)
		}
		if again := string(s.get(c.all).want(200).body); again != whole {
			t.Errorf("%s is another after %s", c.all, c.some)
		}
	}
	before := string(s.get(garden + "/windows").body)
	s.send("PUT", garden+"/trades/cladding/crews", `{"crews":2}`).want(200)
	if after := string(s.get(garden + "/windows").want(200).body); after == before {
		t.Error("the windows of the revision before are told")
	}
}
