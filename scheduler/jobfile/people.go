package jobfile

import "gaugerod/scheduler"

var personTable = table[scheduler.Person]{
	name: "person",
	keys: []key[scheduler.Person]{
		must("name", text, func(p *scheduler.Person) *string { return &p.Name }),
		must("role", textCodec[scheduler.Role]("a role"), func(p *scheduler.Person) *scheduler.Role { return &p.Role }),
		may("trade", name, func(p *scheduler.Person) *scheduler.ID { return &p.Trade }),
	},
}

var people = named("person", &personTable, func(p *scheduler.Person) (*scheduler.ID, *scheduler.Pos) { return &p.ID, &p.Pos })
