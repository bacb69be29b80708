package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var placeTable = table[scheduler.Place]{
	name: "place",
	keys: []key[scheduler.Place]{
		must("title", text, func(p *scheduler.Place) *string { return &p.Title }),
		may("within", name, func(p *scheduler.Place) *scheduler.ID { return &p.Within }),
		may("room", count(0), func(p *scheduler.Place) *int { return &p.Room }),
		may("week", optional(week), func(p *scheduler.Place) **worktime.Week { return &p.Week }),
		may("closures", closures("closure"), func(p *scheduler.Place) *[]scheduler.Closure { return &p.Closures }),
	},
}

var places = named("place", &placeTable, func(p *scheduler.Place) (*scheduler.ID, *scheduler.Pos) { return &p.ID, &p.Pos })
