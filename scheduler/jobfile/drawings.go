package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var drawingTable = table[scheduler.Drawing]{
	name: "drawing",
	keys: []key[scheduler.Drawing]{
		must("title", text, func(d *scheduler.Drawing) *string { return &d.Title }),
		may("revision", text, func(d *scheduler.Drawing) *string { return &d.Revision }),
		may("on", optional(date), func(d *scheduler.Drawing) **worktime.Date { return &d.On }),
		may("places", names, func(d *scheduler.Drawing) *[]scheduler.ID { return &d.Places }),
		may("steps", names, func(d *scheduler.Drawing) *[]scheduler.ID { return &d.Steps }),
	},
}

var drawings = named("drawing", &drawingTable, func(d *scheduler.Drawing) (*scheduler.ID, *scheduler.Pos) { return &d.ID, &d.Pos })
