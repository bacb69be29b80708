package jobfile

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// order is an order with the waits into the start of its first step.
type order struct {
	scheduler.Order
	after []scheduler.Wait
}

var stageTable = table[scheduler.Stage]{
	name: "stage",
	keys: slices.Concat(
		[]key[scheduler.Stage]{
			must("title", text, func(g *scheduler.Stage) *string { return &g.Title }),
			must("takes", span, func(g *scheduler.Stage) *worktime.Span { return &g.Takes }),
		},
		spread(func(g *scheduler.Stage) *scheduler.Spread { return &g.Spread }),
		[]key[scheduler.Stage]{may("by", name, func(g *scheduler.Stage) *scheduler.ID { return &g.By })},
	),
}

var stages = named("stage", &stageTable, func(g *scheduler.Stage) (*scheduler.ID, *scheduler.Pos) { return &g.ID, &g.Pos })

var orderTable = table[order]{
	name: "order",
	keys: []key[order]{
		must("title", text, func(o *order) *string { return &o.Title }),
		may("supplier", name, func(o *order) *scheduler.ID { return &o.Supplier }),
		may("stages", stages, func(o *order) *[]scheduler.Stage { return &o.Stages }),
		may("receives", name, func(o *order) *scheduler.ID { return &o.Receives }),
		may("places", names, func(o *order) *[]scheduler.ID { return &o.Places }),
		may("gear", names, func(o *order) *[]scheduler.ID { return &o.Gear }),
		may("unload", span, func(o *order) *worktime.Span { return &o.Unload }),
		may("keep", span, func(o *order) *worktime.Span { return &o.Keep }),
		may("stand-in", text, func(o *order) *string { return &o.StandIn }),
		may("cautions", words[scheduler.Caution](), func(o *order) *[]scheduler.Caution { return &o.Cautions }),
		may("after", after, func(o *order) *[]scheduler.Wait { return &o.after }),
		may("note", text, func(o *order) *string { return &o.Note }),
	},
}

var orders = named("order", &orderTable, func(o *order) (*scheduler.ID, *scheduler.Pos) { return &o.ID, &o.Pos })
