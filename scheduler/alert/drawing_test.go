package alert_test

import (
	"strings"
	"testing"

	"gaugerod/scheduler"
)

func TestDrawingMissing(t *testing.T) {
	s := newScene()
	s.task("frame", "framing", "north", scheduler.Waiting, "2026-05-25 08:00", "2026-05-29 16:00")
	s.task("clad", "framing", "north", scheduler.Waiting, "2026-05-20 08:00", "2026-05-29 16:00")
	s.job.Drawings = []scheduler.Drawing{
		{ID: "a-1", Title: "Wall sections", Steps: ids{"frame"}},
		{ID: "a-2", Title: "Cladding", Revision: "B", Steps: ids{"clad"}},
	}
	s.expect(t, scheduler.DrawingMissing, told{
		"drawing missing: a-1", scheduler.Act,
		"Of the drawing “Wall sections” no revision has been sent out; the first work by it is “The frame”, planned for Mon 25 May.",
	})
	s.step("frame").Start = at("2026-06-02 08:00") // more than ten working days ahead
	s.expect(t, scheduler.DrawingMissing)
	s.step("frame").State, s.step("frame").Start = scheduler.Underway, at("2026-05-15 08:00")
	s.expect(t, scheduler.DrawingMissing, told{
		"drawing missing: a-1, grave", scheduler.Grave,
		"Of the drawing “Wall sections” no revision has been sent out, and “The frame” goes on by it since Fri 15 May.",
	})
	s.step("frame").Cautions = []scheduler.Caution{scheduler.CautionStructure}
	if remedy := of(scheduler.DrawingMissing, s.find(t))[0].Remedy; !strings.Contains(remedy, "structure") {
		t.Errorf("the remedy of structural work leaves nothing to who is licensed: %s", remedy)
	}
	s.step("frame").State = scheduler.Complete
	s.expect(t, scheduler.DrawingMissing)
}
