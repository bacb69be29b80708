package rules

import "gaugerod/scheduler"

func (c *checker) checkDrawings() {
	index(c, "drawing", "drawings", c.job.Drawings, func(d *scheduler.Drawing) (scheduler.ID, scheduler.Pos) { return d.ID, d.Pos })
	for k := range c.job.Drawings {
		d := &c.job.Drawings[k]
		s := about("drawing", d.ID, d.Pos)
		c.title(s, "title", d.Title)
		c.line(s, "revision", d.Revision)
		if d.On != nil {
			c.day(s, "on", *d.On)
			if !d.Out() {
				c.fault(s, "on", d.On.String(), "says when it was sent out and not in which revision", "write the revision as it stands on the sheet, or leave the day out")
			}
		}
		for id := range c.eachOnce(s, "steps", d.Steps) {
			c.resolve(s, "steps", id, nil)
		}
		c.knownEach(s, "places", d.Places, &c.places)
		if len(d.Steps)+len(d.Places) == 0 {
			c.fault(s, "places", "", "shows nothing", "name the places or the steps that are built by it")
		}
	}
}
