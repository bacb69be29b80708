package jobfile

import "gaugerod/scheduler"

var siteTable = table[scheduler.Site]{
	name: "site",
	keys: []key[scheduler.Site]{
		may("access", text, func(s *scheduler.Site) *string { return &s.Access }),
		may("parking", text, func(s *scheduler.Site) *string { return &s.Parking }),
		may("unloading", text, func(s *scheduler.Site) *string { return &s.Unloading }),
		may("storage", text, func(s *scheduler.Site) *string { return &s.Storage }),
		may("lifting", text, func(s *scheduler.Site) *string { return &s.Lifting }),
		may("power", text, func(s *scheduler.Site) *string { return &s.Power }),
	},
}

var site = mapping(&siteTable, func(s scheduler.Site) bool { return s == scheduler.Site{} })
