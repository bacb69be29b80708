package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var dueTable = table[scheduler.Due]{
	name: "due",
	keys: []key[scheduler.Due]{
		must("title", text, func(d *scheduler.Due) *string { return &d.Title }),
		must("step", name, func(d *scheduler.Due) *scheduler.ID { return &d.Step }),
		must("on", date, func(d *scheduler.Due) *worktime.Date { return &d.On }),
	},
}

var dues = named("due day", &dueTable, func(d *scheduler.Due) (*scheduler.ID, *scheduler.Pos) { return &d.ID, &d.Pos })

var pinTable = table[scheduler.Pin]{
	name:  "pin",
	oneOf: []string{"on", "not-before"},
	keys: []key[scheduler.Pin]{
		must("step", name, func(p *scheduler.Pin) *scheduler.ID { return &p.Step }),
		may("on", optional(date), func(p *scheduler.Pin) **worktime.Date { return &p.On }),
		may("not-before", optional(date), func(p *scheduler.Pin) **worktime.Date { return &p.NotBefore }),
		may("by", name, func(p *scheduler.Pin) *scheduler.ID { return &p.By }),
		may("reason", text, func(p *scheduler.Pin) *string { return &p.Reason }),
	},
}

var pins = listed("pin", &pinTable, func(p *scheduler.Pin) *scheduler.Pos { return &p.Pos })

var asideTable = table[scheduler.Aside]{
	name: "aside",
	keys: []key[scheduler.Aside]{
		must("alert", text, func(a *scheduler.Aside) *string { return &a.Alert }),
		must("by", name, func(a *scheduler.Aside) *scheduler.ID { return &a.By }),
		must("on", date, func(a *scheduler.Aside) *worktime.Date { return &a.On }),
		must("reason", text, func(a *scheduler.Aside) *string { return &a.Reason }),
	},
}

var asides = listed("aside", &asideTable, func(a *scheduler.Aside) *scheduler.Pos { return &a.Pos })
