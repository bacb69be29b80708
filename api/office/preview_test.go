package office_test

import (
	"context"
	"errors"
	"io"
	"testing"

	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// longer has b take five days.
func longer(j *scheduler.Job) error {
	tasks := append([]scheduler.Task(nil), j.Tasks...)
	tasks[1].Takes.Amount = 5
	j.Tasks = tasks
	return nil
}

// TestPreviewKeepsNothing: what a change would come to is what it comes to when it is
// kept, and until then nothing has changed.
func TestPreviewKeepsNothing(t *testing.T) {
	store := newMemory(twoWays())
	o := office.New(store, clock, zerolog.New(io.Discard))
	t.Cleanup(o.Close)
	now, then, err := o.Preview(context.Background(), "shed", longer)
	if err != nil {
		t.Fatal(err)
	}
	was := sheet(t, o, nil)
	if was != now || was.Job.Tasks[1].Takes.Amount != 2 || then.Job.Tasks[1].Takes.Amount != 5 {
		t.Errorf("b takes %v as kept and %v in the preview", was.Job.Tasks[1].Takes, then.Job.Tasks[1].Takes)
	}
	kept, err := o.Change(context.Background(), "shed", db.By("kim"), longer)
	if err != nil {
		t.Fatal(err)
	}
	a, b := then.Plan.FindStep("b"), kept.Plan.FindStep("b")
	if !a.Start.Equal(b.Start) || !a.Finish.Equal(b.Finish) || a.Finish.Equal(was.Plan.FindStep("b").Finish) {
		t.Errorf("the preview has b from %s to %s, the plan from %s to %s", a.Start, a.Finish, b.Start, b.Finish)
	}
	if then.Revision != kept.Revision {
		t.Errorf("revision %d in the preview, %d kept", then.Revision, kept.Revision)
	}
}

func TestPreviewRefuses(t *testing.T) {
	o := office.New(newMemory(twoWays()), clock, zerolog.New(io.Discard))
	t.Cleanup(o.Close)
	if _, _, err := o.Preview(context.Background(), "barn", longer); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("of a job that is not there: %v", err)
	}
	_, _, err := o.Preview(context.Background(), "shed", func(j *scheduler.Job) error { return j.MoveLayer("skin", "board", "") })
	if !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("a change that the job does not take: %v", err)
	}
	_, _, err = o.Preview(context.Background(), "shed", func(j *scheduler.Job) error {
		j.Waits = append(append([]scheduler.Wait(nil), j.Waits...), scheduler.Wait{From: scheduler.Point{Step: "b", End: scheduler.Finish}, To: scheduler.Point{Step: "nowhere"}})
		return nil
	})
	if _, unsound := errors.AsType[scheduler.Faults](err); !unsound {
		t.Errorf("a change that makes the job unsound: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := o.Preview(ctx, "shed", longer); err == nil {
		t.Error("somebody who has gone still gets a preview")
	}
}
