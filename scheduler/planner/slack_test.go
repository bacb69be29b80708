package planner

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
	"gaugerod/scheduler/worktime"
)

// keepable is the checker's rules about the dates alone: what must hold wherever steps
// lie within their slack.
var keepable = []verify.Rule{
	verify.WorkAmount, verify.OutsideHours, verify.BeforeAsOf, verify.BeforeStart, verify.FactMoved,
	verify.WaitShort, verify.WaitLong, verify.PinBroken, verify.NoticeShort, verify.BookedBroken, verify.ExpectedBroken,
	verify.CrewsShort, verify.RoomShort, verify.NotAlone, verify.GearShort, verify.OccupiedOver,
}

// TestStepsMayUseTheirSlack moves every step of planned random jobs, one at a time, to
// several places within its slack, with all that follows pushed along the order of the
// plan: the checker must find every wait, calendar and limit kept, and no due day moves.
func TestStepsMayUseTheirSlack(t *testing.T) {
	moves := 0
	for seed := range uint64(12) {
		job := randomjob.New(seed, randomjob.Size{Steps: 16 + int(seed)})
		net, err := expand.Expand(job)
		if err != nil {
			t.Fatal(err)
		}
		s, err := solve(t.Context(), net, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(s.contradictions()) > 0 {
			continue
		}
		rng := rand.New(rand.NewPCG(seed, 11))
		planned, late := s.planned, s.planLate
		for i := range s.h.Steps() {
			slack := int64(late.Start[i] - planned.Start[i])
			if s.h.Progress[i] == network.Done || slack <= 0 {
				continue
			}
			for _, by := range []int64{1, 1 + rng.Int64N(slack), slack} {
				to := s.h.StartFrom(i, planned.Start[i]+worktime.Instant(by))
				if to > late.Start[i] {
					continue
				}
				least := slices.Clone(planned.Start)
				least[i] = to
				moved, conflicts, err := s.h.EarliestFrom(least)
				if err != nil || len(conflicts) > 0 {
					t.Fatalf("seed %d: %s at %s: %v, %v", seed, net.Steps[i].ID, s.day(to), conflicts, err)
				}
				moves++
				checkMoved(t, seed, s, job, net.Steps[i].ID, &planned, moved)
			}
		}
	}
	t.Logf("%d moves", moves)
	if moves < 200 {
		t.Error("the test shows little")
	}
}

// checkMoved holds dates against the checker and the due days, and puts the planned
// ones back.
func checkMoved(t *testing.T, seed uint64, s *solution, job *scheduler.Job, what scheduler.ID, planned *network.Times, moved network.Times) {
	t.Helper()
	s.planned, s.grounded = moved, nil
	for _, v := range verify.Plan(job, s.plan()) {
		if slices.Contains(keepable, v.Rule) {
			t.Errorf("seed %d: %s moved within its slack: %v", seed, what, v)
		}
	}
	s.planned, s.grounded = *planned, nil
	for k, due := range s.h.Due {
		if due.Known() && moved.Finish[k] > max(due, planned.Finish[k]) {
			t.Errorf("seed %d: %s moved within its slack moves the due day of %s", seed, what, s.net.Steps[k].ID)
		}
	}
}
