package rules

import (
	"fmt"
	"time"

	"gaugerod/scheduler/worktime"
)

// checkSite checks what the job says of itself.
func (c *checker) checkSite() {
	j := c.job
	s := about("job", j.ID, zeroPos)
	switch {
	case j.ID == "":
		c.fault(s, "job", "", "has no name", "give it a short one: lower-case letters, digits and hyphens")
	case len(j.ID) > maxID || !goodID.MatchString(string(j.ID)):
		c.fault(s, "job", string(j.ID), "has a name that cannot be one", "use lower-case letters and digits, joined by single hyphens"+spelt(string(j.ID)))
	}
	c.title(s, "title", j.Title)
	c.checkZone(s)
	if j.Start == 0 {
		c.fault(s, "start", "", "does not say when it starts", "write the first day of work, for instance start: 2026-03-02")
	} else {
		c.day(s, "start", j.Start)
	}
	if j.AsOf != nil {
		c.day(s, "as-of", *j.AsOf)
	}
	c.week(s, &j.Week)
	c.checkDayLength(s)
	c.closures("closure", j.Closures)
	c.line(s, "access", j.Site.Access)
	c.line(s, "parking", j.Site.Parking)
	c.line(s, "unloading", j.Site.Unloading)
	c.line(s, "storage", j.Site.Storage)
	c.line(s, "lifting", j.Site.Lifting)
	c.line(s, "power", j.Site.Power)
}

func (c *checker) checkZone(s subject) {
	const mend = "write the zone's IANA name, for instance Europe/Vienna or America/Halifax"
	zone := c.job.Zone
	if zone == "" {
		c.fault(s, "zone", "", "does not say which time zone it is in", mend)
		return
	}
	// "Local" means whatever machine this runs on: not one zone for everybody.
	if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
		c.fault(s, "zone", zone, fmt.Sprintf("is in the time zone %q, which nobody knows", zone), mend)
	}
}

// checkDayLength checks what "1 day" of work means: hours that a day has.
func (c *checker) checkDayLength(s subject) {
	d := c.job.Day
	if d == (worktime.Span{}) {
		return
	}
	const mend = "write working hours or minutes, for instance day: 8 hours"
	switch minutes := d.Minutes(0, 0); {
	case d.Unit != worktime.Minutes && d.Unit != worktime.Hours:
		c.fault(s, "day", d.String(), fmt.Sprintf("says that a day of work is %s", d), mend)
	case minutes < 1 || minutes > 24*60:
		c.fault(s, "day", d.String(), fmt.Sprintf("says that a day of work is %s long", d), mend)
	}
}
