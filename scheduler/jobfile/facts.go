package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var factTable = table[scheduler.Fact]{
	name: "fact",
	keys: []key[scheduler.Fact]{
		may("started", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Started }),
		may("done", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Done }),
		may("remaining", optional(span), func(f *scheduler.Fact) **worktime.Span { return &f.Remaining }),
		may("booked", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Booked }),
		may("expected", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Expected }),
		may("released", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Released }),
		may("refused", optional(when), func(f *scheduler.Fact) **worktime.When { return &f.Refused }),
		may("measured", optional(number), func(f *scheduler.Fact) **int { return &f.Measured }),
		may("by", name, func(f *scheduler.Fact) *scheduler.ID { return &f.By }),
		may("note", text, func(f *scheduler.Fact) *string { return &f.Note }),
		may("evidence", text, func(f *scheduler.Fact) *string { return &f.Evidence }),
	},
}

var facts = named("fact", &factTable, func(f *scheduler.Fact) (*scheduler.ID, *scheduler.Pos) { return &f.Step, &f.Pos })
