package verify

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
)

// The rules about waits.
const (
	WaitShort       Rule = "wait too short"      // less than the least time
	WaitLong        Rule = "wait too long"       // more than the most time
	WaitMissing     Rule = "wait missing"        // a wait of the job is not in the plan
	WaitUnknown     Rule = "wait unknown"        // the plan has a wait that the job has not
	WaiverWrong     Rule = "waiver"              // lifted without a waiver, or not lifted with one
	DroppedAlone    Rule = "dropped alone"       // set aside without a contradiction that holds it
	OpensWrong      Rule = "wait opens"          // not the time of its from end
	TightWrong      Rule = "wait tight"          // said to hold its to end where it does not
	Contradictory   Rule = "contradiction"       // a set that names no statement or sets aside none of its own
	NoContradiction Rule = "no contradiction"    // a set whose statements can all hold, or not even without the one set aside
	Unsolved        Rule = "waits push for ever" // waits contradict each other and the plan names none
)

func (j *join) words() string {
	return fmt.Sprintf("%s of %s to %s of %s", j.fromEnd, j.from.id, j.toEnd, j.to.id)
}

// end is one end of a step as planned.
func (s *step) end(e scheduler.End) minute {
	if e == scheduler.Start {
		return s.start
	}
	return s.finish
}

// settled says whether one end of a step is a recorded time.
func (s *step) settled(e scheduler.End) bool { return s.done() || (s.begun() && e == scheduler.Start) }

// matchWaits holds the plan's waits against the job's, one to one, and takes over
// which of them the plan has set aside.
func (c *checker) matchWaits() {
	type key struct{ from, to, least, most string }
	open := map[key][]*join{}
	for _, j := range c.joins {
		k := key{scheduler.Point{Step: j.from.id, End: j.fromEnd}.String(), scheduler.Point{Step: j.to.id, End: j.toEnd}.String(), j.least.String(), ""}
		if j.most != nil {
			k.most = j.most.String()
		}
		open[k] = append(open[k], j)
	}
	for i := range c.plan.Waits {
		p := &c.plan.Waits[i]
		k := key{p.From, p.To, p.Least, p.Most}
		if k.least == "" {
			k.least = "0 minutes"
		}
		if len(open[k]) == 0 {
			c.report(WaitUnknown, []scheduler.ID{p.FromID, p.ToID}, "the job has no wait from %s to %s of least %q and most %q", p.From, p.To, p.Least, p.Most)
			continue
		}
		open[k][0].plan = p
		open[k] = open[k][1:]
	}
	for _, j := range c.joins {
		if j.plan == nil {
			c.report(WaitMissing, ids(j.from, j.to), "the wait from %s is not in the plan", j.words())
			continue
		}
		c.matchWait(j)
	}
}

func (c *checker) matchWait(j *join) {
	p := j.plan
	if (p.Waived != "") != j.waived {
		c.report(WaiverWrong, ids(j.from, j.to), "the wait from %s: lifted %v in the job, %v in the plan", j.words(), j.waived, p.Waived != "")
	}
	if minuteOf(p.Opens) != j.from.end(j.fromEnd) {
		c.report(OpensWrong, ids(j.from, j.to), "the wait from %s opens %s, its from end is at %s", j.words(), minuteOf(p.Opens).in(c.zone), j.from.end(j.fromEnd).in(c.zone))
	}
	if !p.Dropped {
		return
	}
	sets := c.setAsideIn(j)
	if sets == 0 {
		c.report(DroppedAlone, ids(j.from, j.to), "the wait from %s is set aside, but no contradiction names it", j.words())
		return
	}
	// A most time is set aside before the least time of the same wait.
	j.noMost = true
	j.noLeast = j.most == nil || sets > 1
}

// setAsideIn is the number of contradictions that set this wait aside.
func (c *checker) setAsideIn(j *join) int {
	n := 0
	for _, x := range c.plan.Contradictions {
		if x.Dropped < 0 || x.Dropped >= len(x.Statements) {
			continue
		}
		s := x.Statements[x.Dropped]
		if s.Line == j.pos.Line && s.Column == j.pos.Column && slices.Contains(s.Steps, j.from.id) && slices.Contains(s.Steps, j.to.id) {
			n++
		}
	}
	return n
}

// waits checks that every wait holds in the planned dates, and that recorded steps
// are marked out of order where one does not.
func (c *checker) waits() {
	broken := map[*step]bool{}  // a least time into a recorded end, that acts
	perhaps := map[*step]bool{} // or one that does not act, or a most time
	for _, j := range c.joins {
		c.checkJoin(j)
		if !j.to.settled(j.toEnd) {
			continue
		}
		from, to := j.from.end(j.fromEnd), j.to.end(j.toEnd)
		if c.short(j, from, to) {
			perhaps[j.to] = true
			broken[j.to] = broken[j.to] || j.acts()
		}
		if c.long(j, from, to) {
			perhaps[j.to] = true
		}
	}
	for _, s := range c.steps {
		if broken[s] && !s.plan.OutOfOrder || s.plan.OutOfOrder && !perhaps[s] {
			c.report(OutOfOrderMark, ids(s), "%s is out of order: %v, the plan says %v", s.id, broken[s], s.plan.OutOfOrder)
		}
	}
}

// checkJoin checks the least and the most time of a wait that acts. Between two
// recorded ends nothing can be asked any more.
func (c *checker) checkJoin(j *join) {
	if !j.acts() {
		return
	}
	from, to := j.from.end(j.fromEnd), j.to.end(j.toEnd)
	settled := j.to.settled(j.toEnd)
	if !j.noLeast {
		c.checkLeast(j, from, to, settled)
	}
	if c.long(j, from, to) && !j.noMost && !(settled && j.from.settled(j.fromEnd)) {
		c.report(WaitLong, ids(j.from, j.to), "%s: %d minutes between %s and %s, at most %d", j.words(),
			c.spanCal(*j.most).between(from, to), from.in(c.zone), to.in(c.zone), c.minutes(*j.most))
	}
}

// checkLeast checks a least time. Into a recorded end it cannot act, but what is
// left of a started step still waits.
func (c *checker) checkLeast(j *join, from, to minute, settled bool) {
	if settled {
		if !j.to.begun() {
			return
		}
		to = j.to.resume
	}
	if c.short(j, from, to) {
		c.report(WaitShort, ids(j.from, j.to), "%s: %d minutes between %s and %s, at least %d", j.words(),
			c.spanCal(j.least).between(from, to), from.in(c.zone), to.in(c.zone), c.minutes(j.least))
	}
}

// long says whether there is more between two ends than the most time.
func (c *checker) long(j *join, from, to minute) bool {
	return j.most != nil && c.spanCal(*j.most).between(from, to) > c.minutes(*j.most)
}

// short says whether there is less between two ends than the least time.
func (c *checker) short(j *join, from, to minute) bool {
	return to < from || c.spanCal(j.least).between(from, to) < c.minutes(j.least)
}
