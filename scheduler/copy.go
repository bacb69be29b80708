package scheduler

import "slices"

// Copy is a job of its own, on which commands may be tried: what they change in the
// copy stays as it was in j. What no command changes in place is shared.
func (j *Job) Copy() *Job {
	c := *j
	c.Closures = slices.Clone(j.Closures)
	c.People, c.Gear, c.Places = slices.Clone(j.People), slices.Clone(j.Gear), slices.Clone(j.Places)
	c.Trades = slices.Clone(j.Trades)
	for k := range c.Trades {
		c.Trades[k].Off = slices.Clone(c.Trades[k].Off)
	}
	c.Tasks, c.Holds, c.Waits = slices.Clone(j.Tasks), slices.Clone(j.Holds), slices.Clone(j.Waits)
	c.Orders = slices.Clone(j.Orders)
	for k := range c.Orders {
		c.Orders[k].Stages = slices.Clone(c.Orders[k].Stages)
	}
	c.Typicals = slices.Clone(j.Typicals)
	for k := range c.Typicals {
		t := &c.Typicals[k]
		t.Tasks, t.Holds, t.Waits = slices.Clone(t.Tasks), slices.Clone(t.Holds), slices.Clone(t.Waits)
	}
	c.BuildUps = slices.Clone(j.BuildUps)
	for k := range c.BuildUps {
		c.BuildUps[k].Layers = slices.Clone(c.BuildUps[k].Layers)
	}
	c.Drawings = slices.Clone(j.Drawings)
	c.Occupations, c.Dues, c.Facts = slices.Clone(j.Occupations), slices.Clone(j.Dues), slices.Clone(j.Facts)
	c.Waivers, c.Pins, c.Asides = slices.Clone(j.Waivers), slices.Clone(j.Pins), slices.Clone(j.Asides)
	c.Issues, c.Promises, c.Answers = slices.Clone(j.Issues), slices.Clone(j.Promises), slices.Clone(j.Answers)
	return &c
}
