package jobfile

import "gaugerod/scheduler"

var occupationTable = table[scheduler.Occupation]{
	name:  "occupation",
	oneOf: []string{"place", "gear"},
	keys: []key[scheduler.Occupation]{
		must("title", text, func(o *scheduler.Occupation) *string { return &o.Title }),
		may("place", name, func(o *scheduler.Occupation) *scheduler.ID { return &o.Place }),
		may("gear", name, func(o *scheduler.Occupation) *scheduler.ID { return &o.Gear }),
		must("from", name, func(o *scheduler.Occupation) *scheduler.ID { return &o.From }),
		must("to", name, func(o *scheduler.Occupation) *scheduler.ID { return &o.To }),
		may("alone", yes, func(o *scheduler.Occupation) *bool { return &o.Alone }),
		may("admits", names, func(o *scheduler.Occupation) *[]scheduler.ID { return &o.Admits }),
	},
}

var occupations = named("occupation", &occupationTable, func(o *scheduler.Occupation) (*scheduler.ID, *scheduler.Pos) { return &o.ID, &o.Pos })
