package verify

import (
	"maps"
	"slices"
	"strings"

	"gaugerod/scheduler"
)

// barred admits to an occupation the steps that a contradiction lets in against it:
// they would have to come after its beginning and before its end.
func (c *checker) barred() {
	for _, x := range c.plan.Contradictions {
		if x.Dropped < 0 || x.Dropped >= len(x.Statements) {
			continue
		}
		aside := x.Statements[x.Dropped]
		for _, o := range c.occupations {
			if aside.Line != o.Pos.Line || aside.Column != o.Pos.Column || !slices.Equal(aside.Steps, ids(o.from, o.to)) {
				continue
			}
			for k, s := range x.Statements {
				for _, id := range s.Steps {
					if k != x.Dropped && c.byID[id] != nil {
						o.admits[c.byID[id]] = true
					}
				}
			}
		}
	}
}

// contradictions checks that every set names statements and sets one of them aside,
// that the steps it speaks of are the job's, and that it is a contradiction.
func (c *checker) contradictions() {
	aside := map[gone]bool{}
	for _, x := range c.plan.Contradictions {
		if len(x.Statements) == 0 || x.Dropped < -1 || x.Dropped >= len(x.Statements) {
			c.report(Contradictory, nil, "a contradiction of %d statements sets number %d aside", len(x.Statements), x.Dropped)
			continue
		}
		for _, s := range x.Statements {
			if s.Text == "" {
				c.report(Contradictory, s.Steps, "a contradiction has a statement without words")
			}
			for _, id := range s.Steps {
				if c.byID[id] == nil {
					c.report(Contradictory, s.Steps, "a contradiction speaks of %s, which the job has not", id)
				}
			}
		}
		if x.Dropped >= 0 {
			c.smallest(x, aside)
		}
	}
}

// gone is half of a wait that has been set aside: its most time, or else its least.
type gone struct {
	join *join
	most bool
}

// set is the statements of a contradiction as the checker knows them.
type set struct {
	halves []half
	pins   []*scheduler.Pin
}

// smallest checks that the statements of a set cannot all hold and that without the
// one set aside the others can, given what sets before it have set aside. Where
// limits or occupations take part it says nothing.
func (c *checker) smallest(x scheduler.Contradiction, before map[gone]bool) {
	all, known := c.setOf(x, before)
	after := maps.Clone(before)
	for _, j := range c.joins {
		if says(x.Statements[x.Dropped], j) {
			after[gone{j, j.most != nil && !before[gone{j, true}]}] = true
		}
	}
	without, _ := c.setOf(x, after)
	without.pins = slices.DeleteFunc(without.pins, func(p *scheduler.Pin) bool { return saysPin(x.Statements[x.Dropped], p) })
	maps.Copy(before, after)
	switch {
	case !known:
	case c.feasible(all):
		c.report(NoContradiction, x.Statements[x.Dropped].Steps, "%q is set aside, but all %d statements of its set can hold", x.Statements[x.Dropped].Text, len(x.Statements))
	case !c.feasible(without):
		c.report(NoContradiction, x.Statements[x.Dropped].Steps, "%q is set aside, but the others of its set cannot hold without it", x.Statements[x.Dropped].Text)
	}
}

// setOf finds the waits and pins that a set speaks of and that have not gone. Facts
// and the least starts of steps always count. It is not known where a statement is
// of a limit: of several steps, and no wait of the job, or one that cannot be told
// from a wait without a line.
func (c *checker) setOf(x scheduler.Contradiction, out map[gone]bool) (found set, known bool) {
	for _, s := range x.Statements {
		wait := slices.ContainsFunc(c.joins, func(j *join) bool { return says(s, j) })
		if len(s.Steps) > 1 && (!wait || s.Line == 0) || c.ofOccupation(s) {
			return found, false
		}
		for _, j := range c.joins {
			if !says(s, j) {
				continue
			}
			for most, h := range c.halves(j) {
				if !out[gone{j, most == 1}] {
					found.halves = append(found.halves, h)
				}
			}
		}
		for i := range c.job.Pins {
			if p := &c.job.Pins[i]; saysPin(s, p) {
				found.pins = append(found.pins, p)
			}
		}
	}
	return found, true
}

// says whether a statement is of a wait: by its line, its steps and, because one
// line of a layer makes several waits between two steps, whether it speaks of a most time.
func says(s scheduler.Statement, j *join) bool {
	return j.acts() && j.pos.Line == s.Line && j.pos.Column == s.Column && slices.Equal(s.Steps, ids(j.from, j.to)) &&
		strings.Contains(s.Text, "at most") == (j.most != nil)
}

func saysPin(s scheduler.Statement, p *scheduler.Pin) bool {
	return p.Pos.Line == s.Line && p.Pos.Column == s.Column && slices.Equal(s.Steps, []scheduler.ID{p.Step})
}

func (c *checker) ofOccupation(s scheduler.Statement) bool {
	return slices.ContainsFunc(c.occupations, func(o *occupation) bool {
		return s.Line == o.Pos.Line && s.Column == o.Pos.Column && slices.Equal(s.Steps, ids(o.from, o.to))
	})
}

// feasible says whether some dates keep a set: its least dates, if any do.
func (c *checker) feasible(s set) bool {
	d, ok := c.push(s.halves, func(p *scheduler.Pin) bool { return slices.Contains(s.pins, p) || !c.pinAside(p) })
	for _, h := range s.halves {
		ok = ok && h.holds(d)
	}
	for _, p := range s.pins {
		if t := c.one(p.Step, ""); t != nil && !t.done() && !t.begun() {
			ok = ok && (p.On == nil || d[t].start <= c.clock(*p.On+1, 0))
		}
	}
	return ok
}
