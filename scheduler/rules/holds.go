package rules

import (
	"fmt"

	"gaugerod/scheduler"
)

func (c *checker) checkHolds() {
	for k := range c.job.Holds {
		h := &c.job.Holds[k]
		s := about("hold", h.ID, h.Pos)
		c.checkHold(s, h)
		c.checkWork(s, &h.Work, h.Places)
	}
}

// checkHold checks what a hold has beyond its work.
func (c *checker) checkHold(s subject, h *scheduler.Hold) {
	c.title(s, "title", h.Title)
	c.text(s, "note", h.Note)
	choice(c, s, "kind", "kind", h.Kind, scheduler.HoldKinds)
	c.person(s, h.By, "releases it")
	c.working(s, "notice", h.Notice)
	if h.Witness && h.Notice.Zero() {
		c.fault(s, "notice", "", "is a witness point without notice, so it would never be waited for", "write the notice after which work may go on, or leave witness out")
	}
	c.checkMeasure(s, h)
}

// maxMillimetres is a kilometre: more is a slip.
const maxMillimetres = 1_000_000

func (c *checker) checkMeasure(s subject, h *scheduler.Hold) {
	switch {
	case h.Kind != scheduler.Measure && h.Nominal != nil:
		c.fault(s, "nominal", fmt.Sprint(*h.Nominal), fmt.Sprintf("has a nominal measure and is of the kind %q", h.Kind), "leave nominal out, or write kind: measure")
	case h.Kind != scheduler.Measure && h.Tolerance != 0:
		c.fault(s, "tolerance", fmt.Sprint(h.Tolerance), fmt.Sprintf("has a tolerance and is of the kind %q", h.Kind), "leave tolerance out, or write kind: measure")
	case h.Nominal == nil && h.Tolerance != 0:
		c.fault(s, "tolerance", fmt.Sprint(h.Tolerance), "has a tolerance and no nominal measure", "write under nominal what it should be, in millimetres")
	case h.Tolerance < 0 || h.Tolerance > maxMillimetres:
		c.fault(s, "tolerance", fmt.Sprint(h.Tolerance), fmt.Sprintf("has the tolerance %d mm", h.Tolerance), "write how far off it may be, in millimetres, from 0 up")
	case h.Nominal != nil && (*h.Nominal < -maxMillimetres || *h.Nominal > maxMillimetres):
		c.fault(s, "nominal", fmt.Sprint(*h.Nominal), fmt.Sprintf("has the nominal measure %d mm, which is over a kilometre", *h.Nominal), "write millimetres")
	}
}
