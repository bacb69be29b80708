package rules

import "gaugerod/scheduler"

func (c *checker) checkOccupations() {
	index(c, "occupation", "occupations", c.job.Occupations, func(o *scheduler.Occupation) (scheduler.ID, scheduler.Pos) { return o.ID, o.Pos })
	for k := range c.job.Occupations {
		o := &c.job.Occupations[k]
		s := about("occupation", o.ID, o.Pos)
		c.title(s, "title", o.Title)
		c.checkHeld(s, o)
		c.single(s, "from", o.From)
		c.single(s, "to", o.To)
		for id := range c.eachOnce(s, "admits", o.Admits) {
			c.resolve(s, "admits", id, nil)
		}
	}
}

// checkHeld checks that an occupation holds one thing, a place or gear.
func (c *checker) checkHeld(s subject, o *scheduler.Occupation) {
	switch {
	case o.Place == "" && o.Gear == "":
		c.fault(s, "place", "", "holds neither a place nor gear", "name the one or the other")
	case o.Place != "" && o.Gear != "":
		c.fault(s, "gear", string(o.Gear), "holds both a place and gear", "write two occupations")
	case o.Place != "":
		c.known(s, "place", o.Place, &c.places)
	default:
		c.known(s, "gear", o.Gear, &c.gear)
		if o.Alone || len(o.Admits) > 0 {
			field := "alone"
			if !o.Alone {
				field = "admits"
			}
			c.fault(s, field, "", "holds gear and says who else may be there", "leave alone and admits out, or hold a place")
		}
	}
}
