package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var layerTable = table[scheduler.Layer]{
	name: "layer",
	keys: []key[scheduler.Layer]{
		must("title", text, func(l *scheduler.Layer) *string { return &l.Title }),
		may("material", text, func(l *scheduler.Layer) *string { return &l.Material }),
		may("thickness", count(0), func(l *scheduler.Layer) *int { return &l.Thickness }),
		must("by", name, func(l *scheduler.Layer) *scheduler.ID { return &l.By }),
		may("cure", span, func(l *scheduler.Layer) *worktime.Span { return &l.Cure }),
		may("seen", names, func(l *scheduler.Layer) *[]scheduler.ID { return &l.Seen }),
		may("exposed", optional(span), func(l *scheduler.Layer) **worktime.Span { return &l.Exposed }),
		may("source", text, func(l *scheduler.Layer) *string { return &l.Source }),
	},
}

var layers = named("layer", &layerTable, func(l *scheduler.Layer) (*scheduler.ID, *scheduler.Pos) { return &l.ID, &l.Pos })

var buildUpTable = table[scheduler.BuildUp]{
	name: "build-up",
	keys: []key[scheduler.BuildUp]{
		must("title", text, func(b *scheduler.BuildUp) *string { return &b.Title }),
		must("places", names, func(b *scheduler.BuildUp) *[]scheduler.ID { return &b.Places }),
		may("outward", text, func(b *scheduler.BuildUp) *string { return &b.Outward }),
		must("layers", layers, func(b *scheduler.BuildUp) *[]scheduler.Layer { return &b.Layers }),
	},
}

var buildUps = named("build-up", &buildUpTable, func(b *scheduler.BuildUp) (*scheduler.ID, *scheduler.Pos) { return &b.ID, &b.Pos })
