package office_test

import (
	"context"
	"errors"
	"io"
	"testing"

	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

func takes(step scheduler.ID, days int32) trial.Op {
	return trial.Op{Takes: &trial.Takes{Step: step, Takes: worktime.Span{Amount: days, Unit: worktime.Days}}}
}

// TestTryKeepsNothing: a trial is planned and compared, found again in memory, and the
// job and its plan stay as they are.
func TestTryKeepsNothing(t *testing.T) {
	store := newMemory(twoWays())
	o := office.New(store, clock, zerolog.New(io.Discard))
	t.Cleanup(o.Close)
	was := sheet(t, o, nil)
	tried, err := o.Try(context.Background(), "shed", []trial.Op{takes("long", 25)})
	if err != nil {
		t.Fatal(err)
	}
	if tried.Now != was || tried.Moved.Finish.Later != 7 { // five working days
		t.Errorf("the finish comes %d days later", tried.Moved.Finish.Later)
	}
	if again, err := o.Try(context.Background(), "shed", []trial.Op{takes("long", 25)}); err != nil || again != tried {
		t.Errorf("it was made again: %v", err)
	}
	if now := sheet(t, o, nil); now != was || now.Job.Tasks[2].Takes.Amount != 20 {
		t.Errorf("the job takes %v", now.Job.Tasks[2].Takes)
	}
	same, err := o.Try(context.Background(), "shed", nil)
	if err != nil || same.Then != was || !same.Moved.Nothing() {
		t.Errorf("no changes move something: %v", err)
	}
	var op *trial.OpError
	if _, err := o.Try(context.Background(), "shed", []trial.Op{takes("long", 25), takes("nothing", 1)}); !errors.As(err, &op) || op.At != 1 {
		t.Errorf("%v", err)
	}
	// Many of them are tried one after the other, and each comes out right.
	for days := int32(1); days < 40; days++ {
		tried, err := o.Try(context.Background(), "shed", []trial.Op{takes("b", days)})
		if err != nil || tried.Then.Job.Tasks[1].Takes.Amount != days {
			t.Fatalf("%d days: %v", days, err)
		}
	}
}
