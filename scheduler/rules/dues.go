package rules

import (
	"fmt"
	"strings"

	"gaugerod/scheduler"
)

func (c *checker) checkDues() {
	index(c, "due day", "dues", c.job.Dues, func(d *scheduler.Due) (scheduler.ID, scheduler.Pos) { return d.ID, d.Pos })
	for k := range c.job.Dues {
		d := &c.job.Dues[k]
		s := about("due day", d.ID, d.Pos)
		c.title(s, "title", d.Title)
		c.single(s, "step", d.Step)
		if c.day(s, "on", d.On) && d.On < c.job.Start {
			c.fault(s, "on", d.On.String(), fmt.Sprintf("is on %s, before the job starts on %s", d.On, c.job.Start), "write a later day")
		}
	}
}

func (c *checker) checkPins() {
	type key struct {
		step scheduler.ID
		on   bool
	}
	seen := map[key]bool{}
	for k := range c.job.Pins {
		p := &c.job.Pins[k]
		s := subject{p.Pos, called("pin of", p.Step)}
		c.single(s, "step", p.Step)
		c.line(s, "reason", p.Reason)
		if p.By != "" {
			c.person(s, p.By, "wants it")
		}
		c.checkPinDay(s, p)
		is := key{p.Step, p.On != nil}
		if seen[is] && p.Step != "" {
			c.fault(s, "step", string(p.Step), "is there twice", "leave one of them out")
		}
		seen[is] = true
	}
}

func (c *checker) checkPinDay(s subject, p *scheduler.Pin) {
	switch {
	case p.On == nil && p.NotBefore == nil:
		c.fault(s, "on", "", "has no day", "write on for the day it starts, or not-before for the first it may start on")
	case p.On != nil && p.NotBefore != nil:
		c.fault(s, "not-before", p.NotBefore.String(), "has both on and not-before", "write the one or the other")
	case p.On != nil:
		if c.day(s, "on", *p.On) && *p.On < c.job.Start {
			c.fault(s, "on", p.On.String(), fmt.Sprintf("is on %s, before the job starts on %s", p.On, c.job.Start), "write a later day")
		}
	default:
		c.day(s, "not-before", *p.NotBefore)
	}
}

func (c *checker) checkAsides() {
	seen := map[string]bool{}
	for k := range c.job.Asides {
		a := &c.job.Asides[k]
		s := subject{a.Pos, fmt.Sprintf("aside of %q", a.Alert)}
		if a.Alert == "" {
			c.fault(s, "alert", "", "does not say which alert it puts aside", "write the alert's key under alert")
		} else if seen[a.Alert] {
			c.fault(s, "alert", a.Alert, "is there twice", "leave one of them out")
		}
		seen[a.Alert] = true
		c.line(s, "alert", a.Alert)
		c.person(s, a.By, "put it aside")
		c.day(s, "on", a.On)
		c.because(s, a.Reason)
	}
}

// because checks a reason that must be given.
func (c *checker) because(s subject, reason string) {
	if strings.TrimSpace(reason) == "" {
		c.fault(s, "reason", "", "has no reason", "write why, for those who read it later")
		return
	}
	c.text(s, "reason", reason)
}
