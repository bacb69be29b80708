package planner

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
)

// contradictions puts every set of statements that cannot all hold into words.
func (s *solution) contradictions() []scheduler.Contradiction {
	var list []scheduler.Contradiction
	for k := range s.conflicts {
		list = append(list, s.contradiction(&s.conflicts[k]))
	}
	for _, bar := range s.problem.Barred {
		list = append(list, s.barred(bar))
	}
	for _, bar := range s.letIn {
		c := s.barred(bar)
		c.Unproven = true
		list = append(list, c)
	}
	return append(list, s.pinsAgainstDues()...)
}

func (s *solution) contradiction(c *conflict) scheduler.Contradiction {
	if c.set != nil {
		return s.setContradiction(c.set)
	}
	var out scheduler.Contradiction
	for _, w := range c.Waits(c.g) {
		if w == c.Dropped {
			out.Dropped = len(out.Statements)
		}
		out.Statements = append(out.Statements, s.waitStatement(w))
	}
	seen := map[int32]bool{}
	for _, k := range c.Arcs {
		if l := c.g.Arcs[k].Limit; l >= 0 && !seen[l] {
			seen[l] = true
			out.Unproven = c.g == s.h // another order than the plan's might keep them
			out.Statements = append(out.Statements, s.limitStatement(l, &c.g.Arcs[k]))
		}
	}
	if c.Fact >= 0 {
		out.Statements = append(out.Statements, s.factStatement(c.Fact))
	}
	if c.Pin >= 0 {
		out.Dropped = len(out.Statements)
		out.Statements = append(out.Statements, s.pinStatement(int(c.Pin)))
	}
	if c.Pin >= 0 || c.Fact >= 0 {
		out.Statements = append(out.Statements, s.rootStatements(c.g, c.Arcs, c.Pin)...)
	}
	return out
}

// rootStatements is what holds the first step of a chain: a pin of its own, or as of.
func (s *solution) rootStatements(g *network.Graph, arcs []int32, pin int32) []scheduler.Statement {
	end := -1
	if pin >= 0 {
		end, _ = s.net.Find(s.net.Job.Pins[pin].Step)
	}
	if end < 0 && len(arcs) == 0 {
		return nil
	}
	i, by := g.Root(arcs, end)
	if by == scheduler.ByPin && g.PinOf[i] >= 0 && g.PinOf[i] != pin {
		return []scheduler.Statement{s.pinStatement(int(g.PinOf[i]))}
	}
	return []scheduler.Statement{{
		Text:  fmt.Sprintf("%s cannot start before %s", quote(s.name(int32(i))), s.day(g.Release[i])),
		Steps: []scheduler.ID{s.net.Steps[i].ID},
	}}
}

func (s *solution) waitStatement(w int32) scheduler.Statement {
	wait := &s.net.Waits[w]
	return scheduler.Statement{
		Text: s.wait(wait), Line: wait.Pos.Line, Column: wait.Pos.Column,
		Steps: []scheduler.ID{wait.From.Step, wait.To.Step},
	}
}

func (s *solution) pinStatement(k int) scheduler.Statement {
	p := &s.net.Job.Pins[k]
	i, _ := s.net.Find(p.Step)
	text := quote(s.name(int32(i))) + " is pinned "
	if p.On != nil {
		text += "to " + p.On.Format("Mon 2 Jan 2006")
	} else {
		text += "not before " + p.NotBefore.Format("Mon 2 Jan 2006")
	}
	return scheduler.Statement{
		Text: text + ": " + p.Reason, Line: p.Pos.Line, Column: p.Pos.Column, Steps: []scheduler.ID{p.Step},
	}
}

func (s *solution) factStatement(i int32) scheduler.Statement {
	step := &s.net.Steps[i]
	st := scheduler.Statement{
		Text:  fmt.Sprintf("%s was recorded as started %s", quote(step.Title), s.day(s.g.Began[i])),
		Steps: []scheduler.ID{step.ID},
	}
	if s.g.Progress[i] == network.Done {
		st.Text += ", finished " + s.day(s.g.Ended[i])
	}
	for k := range s.net.Job.Facts {
		if f := &s.net.Job.Facts[k]; f.Step == step.ID {
			st.Line, st.Column = f.Pos.Line, f.Pos.Column
		}
	}
	return st
}

func (s *solution) limitStatement(l int32, a *network.Arc) scheduler.Statement {
	limit := &s.problem.Limits[l]
	return scheduler.Statement{
		Text:  fmt.Sprintf("%s: %s comes after %s", s.shared(limit), quote(s.name(a.To)), quote(s.name(a.From))),
		Steps: []scheduler.ID{s.net.Steps[a.From].ID, s.net.Steps[a.To].ID},
	}
}

// shared says of a limit what it lets happen.
func (s *solution) shared(l *levelling.Limit) string {
	switch l.Kind {
	case levelling.Crews:
		return fmt.Sprintf("%s can send %s at once", s.tradeTitle(l.ID), count(int(l.Size), "crew"))
	case levelling.Gear:
		return fmt.Sprintf("there is %s of %s", count(int(l.Size), "piece"), s.gearTitle(l.ID))
	case levelling.Room:
		return fmt.Sprintf("%s has room for %s at once", s.placeTitle(l.ID), count(int(l.Size), "task"))
	}
	if o := s.occupation(l.ID); o != nil {
		return fmt.Sprintf("%s takes up %s", o.Title, s.placeTitle(o.Place))
	}
	return fmt.Sprintf("somebody needs %s alone", s.placeTitle(l.ID))
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (s *solution) barred(b levelling.Bar) scheduler.Contradiction {
	o := &s.net.Occupations[b.Occupation]
	id := s.net.Steps[b.Step].ID
	return scheduler.Contradiction{Statements: []scheduler.Statement{
		s.heldStatement(o),
		{
			Text: fmt.Sprintf("%s has to come after its beginning and before its end, and has no room beside it", quote(s.name(b.Step))),
			Line: s.net.Steps[b.Step].Pos.Line, Column: s.net.Steps[b.Step].Pos.Column, Steps: []scheduler.ID{id},
		},
	}}
}

// pinsAgainstDues finds the due days that are missed because of a pin.
func (s *solution) pinsAgainstDues() []scheduler.Contradiction {
	var list []scheduler.Contradiction
	for k := range s.net.Job.Dues {
		d := &s.net.Job.Dues[k]
		i, ok := s.net.Find(d.Step)
		if !ok || s.early.Finish[i] <= (d.On+1).At(0, s.g.Zone) || s.g.Progress[i] == network.Done {
			continue
		}
		chain := s.holdingChain(s.g, &s.early, i)
		root, by := s.g.Root(chain, i)
		if by != scheduler.ByPin || s.g.PinOf[root] < 0 || s.early.Start[root] > s.g.StartFrom(root, s.g.Release[root]) {
			continue
		}
		c := scheduler.Contradiction{Dropped: -1}
		c.Statements = append(c.Statements, s.pinStatement(int(s.g.PinOf[root])))
		nc := network.Conflict{Arcs: chain}
		for _, w := range nc.Waits(s.g) {
			c.Statements = append(c.Statements, s.waitStatement(w))
		}
		c.Statements = append(c.Statements, scheduler.Statement{
			Text: fmt.Sprintf("%s: %s is to be finished by %s", d.Title, quote(s.name(int32(i))), d.On.Format("Mon 2 Jan 2006")),
			Line: d.Pos.Line, Column: d.Pos.Column, Steps: []scheduler.ID{d.Step},
		})
		list = append(list, c)
	}
	return list
}

// holdingChain is the arcs that hold step i back to a release, the first of each.
func (s *solution) holdingChain(g *network.Graph, t *network.Times, i int) []int32 {
	var chain []int32
	for seen := map[int]bool{}; !seen[i]; {
		seen[i] = true
		arcs := g.Holding(i, t)
		if len(arcs) == 0 || g.StartFrom(i, g.Release[i]) == t.Start[i] {
			break
		}
		chain = append(chain, arcs[0])
		a := &g.Arcs[arcs[0]]
		if g.Fixed(a.From, a.FromEnd) {
			break
		}
		i = int(a.From)
	}
	return chain
}
