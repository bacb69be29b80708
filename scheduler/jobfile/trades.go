package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var tradeTable = table[scheduler.Trade]{
	name:  "trade",
	fresh: scheduler.Trade{Crews: 1},
	keys: []key[scheduler.Trade]{
		must("title", text, func(t *scheduler.Trade) *string { return &t.Title }),
		may("short", text, func(t *scheduler.Trade) *string { return &t.Short }),
		may("crews", count(1), func(t *scheduler.Trade) *int { return &t.Crews }),
		may("notice", span, func(t *scheduler.Trade) *worktime.Span { return &t.Notice }),
		may("week", optional(week), func(t *scheduler.Trade) **worktime.Week { return &t.Week }),
		may("off", closures("time off"), func(t *scheduler.Trade) *[]scheduler.Closure { return &t.Off }),
	},
}

var trades = named("trade", &tradeTable, func(t *scheduler.Trade) (*scheduler.ID, *scheduler.Pos) { return &t.ID, &t.Pos })

var gearTable = table[scheduler.Gear]{
	name:  "gear",
	fresh: scheduler.Gear{Count: 1},
	keys: []key[scheduler.Gear]{
		must("title", text, func(g *scheduler.Gear) *string { return &g.Title }),
		may("count", count(1), func(g *scheduler.Gear) *int { return &g.Count }),
	},
}

var gear = named("gear", &gearTable, func(g *scheduler.Gear) (*scheduler.ID, *scheduler.Pos) { return &g.ID, &g.Pos })
