package planner

import (
	"fmt"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/levelling"
	"gaugerod/scheduler/network"
)

// fewSchedules is how many schedules are made before a further contradiction is
// looked for in a job in which one has been found.
const fewSchedules = 4

// fit fits the network to its limits. Where no order was found that keeps all most
// times, pins and occupations, the search either finds one, or statements that
// contradict each other: then one of them is set aside, and all begins anew.
func (s *solution) fit(effort levelling.Effort) (best levelling.Schedule, early network.Times, kept bool, err error) {
	few := effort
	few.Schedules = min(few.Schedules, fewSchedules)
	for contradicted := false; ; contradicted = true {
		s.problem = levelling.NewProblem(s.g)
		early = s.early
		if s.problem.Graph != s.g {
			if early, err = s.earliest(s.problem.Graph, nil); err != nil {
				return best, early, false, err
			}
		}
		s.boundByWaits(&early)
		s.boundByLoad(&early)
		if contradicted { // as likely as not by something else as well
			best, kept = levelling.Level(s.problem, &early, &s.late, s.bound.at, few)
		}
		if kept || !contradicted {
			best, kept = levelling.Level(s.problem, &early, &s.late, s.bound.at, effort)
		}
		if kept && len(best.Barred) == 0 {
			return best, early, true, nil
		}
		found := levelling.Keep(s.problem, &early, &best, effort.DeadEnds)
		if found.Found {
			return found.Schedule, early, true, nil
		}
		if found.Set == nil || found.Set.Aside < 0 {
			return best, early, false, nil
		}
		s.setAside(found.Set)
		if err = s.forget(); err != nil {
			return best, early, false, err
		}
		if err = s.dates(); err != nil {
			return best, early, false, err
		}
	}
}

// setAside keeps a contradicting set and lets one of its statements go.
func (s *solution) setAside(set *levelling.Set) {
	c := conflict{Conflict: network.Conflict{Pin: -1, Fact: -1, Dropped: -1}, g: s.g, set: set}
	switch claim := set.Claims[set.Aside]; claim.Kind {
	case levelling.PinClaim:
		c.Pin = claim.Index
	default:
		c.Dropped, c.Most = claim.Index, claim.Kind == levelling.MostClaim
	}
	s.g.SetAside(c.Pin, c.Dropped, c.Most)
	s.conflicts = append(s.conflicts, c)
}

// setContradiction puts a set in which limits take part into words.
func (s *solution) setContradiction(set *levelling.Set) scheduler.Contradiction {
	out := scheduler.Contradiction{Unproven: !set.Smallest}
	said := map[int32]int{} // by wait: its statement
	for k, claim := range set.Claims {
		at := len(out.Statements)
		if claim.Kind == levelling.WaitClaim || claim.Kind == levelling.MostClaim {
			if known, ok := said[claim.Index]; ok {
				at = known
			}
			said[claim.Index] = at
		}
		if at == len(out.Statements) {
			out.Statements = append(out.Statements, s.claimStatement(claim, set.Steps))
		}
		if k == set.Aside {
			out.Dropped = at
		}
	}
	return out
}

// claimStatement puts one statement of a set about some steps into words.
func (s *solution) claimStatement(claim levelling.Claim, about []int32) scheduler.Statement {
	k := claim.Index
	job := s.net.Job
	switch claim.Kind {
	case levelling.PinClaim:
		return s.pinStatement(int(k))
	case levelling.FactClaim:
		return s.recordStatement(&job.Facts[k])
	case levelling.HeldClaim:
		return s.heldStatement(&s.net.Occupations[k])
	case levelling.AloneClaim:
		st := &s.net.Steps[k]
		others, ids := s.sharing(about, func(i int32) bool { return i != k && s.inPlaceOf(i, st.Places) })
		var places []string
		for _, p := range st.Places {
			places = append(places, s.placeTitle(p))
		}
		return scheduler.Statement{
			Text:  fmt.Sprintf("%s needs %s alone: %s would be there too", quote(st.Title), strings.Join(places, " and "), others),
			Steps: append([]scheduler.ID{st.ID}, ids...),
		}
	case levelling.RoomClaim:
		place := &job.Places[k]
		return s.shareStatement(levelling.Room, place.ID, place.Room, about)
	case levelling.GearClaim:
		gear := &job.Gear[k]
		return s.shareStatement(levelling.Gear, gear.ID, gear.Count, about)
	case levelling.CrewsClaim:
		trade := &job.Trades[k]
		return s.shareStatement(levelling.Crews, trade.ID, trade.Crews, about)
	}
	return s.waitStatement(k)
}

// shareStatement says of a limit what it lets happen and who wants it.
func (s *solution) shareStatement(kind levelling.Kind, id scheduler.ID, size int, about []int32) scheduler.Statement {
	limit := levelling.Limit{Kind: kind, ID: id, Size: int32(max(size, 1))}
	users := map[int32]bool{}
	for u := range s.problem.Uses {
		use := &s.problem.Uses[u]
		if l := &s.problem.Limits[use.Limit]; l.Kind == kind && l.ID == id {
			users[use.From], users[use.To] = true, true
		}
	}
	who, ids := s.sharing(about, func(i int32) bool { return users[i] })
	return scheduler.Statement{Text: s.shared(&limit) + ", and is needed by " + who, Steps: ids}
}

// sharing is the names and IDs of those steps that share something.
func (s *solution) sharing(about []int32, shares func(int32) bool) (string, []scheduler.ID) {
	var names []string
	var ids []scheduler.ID
	for _, i := range about {
		if shares(i) {
			names = append(names, quote(s.name(i)))
			ids = append(ids, s.net.Steps[i].ID)
		}
	}
	return strings.Join(names, ", "), ids
}

// inPlaceOf says whether a step is in one of some places, below or around it.
func (s *solution) inPlaceOf(i int32, places []scheduler.ID) bool {
	for _, p := range places {
		for _, q := range s.net.Steps[i].Places {
			if s.within(p, q) || s.within(q, p) {
				return true
			}
		}
	}
	return false
}

// within says whether a place is another or lies in it.
func (s *solution) within(id, outer scheduler.ID) bool {
	for id != "" && id != outer {
		inside := scheduler.ID("")
		for k := range s.net.Job.Places {
			if p := &s.net.Job.Places[k]; p.ID == id {
				inside = p.Within
			}
		}
		id = inside
	}
	return id == outer
}

func (s *solution) heldStatement(o *scheduler.Occupation) scheduler.Statement {
	return scheduler.Statement{
		Text: fmt.Sprintf("%s is held from the start of %s to the finish of %s", o.Title, quote(string(o.From)), quote(string(o.To))),
		Line: o.Pos.Line, Column: o.Pos.Column, Steps: []scheduler.ID{o.From, o.To},
	}
}

// recordStatement says what was recorded of a step.
func (s *solution) recordStatement(f *scheduler.Fact) scheduler.Statement {
	i, _ := s.net.Find(f.Step)
	text := quote(s.name(int32(i)))
	switch {
	case s.g.Progress[i] != network.Open:
		return s.factStatement(int32(i))
	case f.Expected != nil:
		text += " was last expected on " + f.Expected.String()
	case f.Booked != nil:
		text += " is booked for " + f.Booked.String()
	default:
		text += " is not released"
	}
	return scheduler.Statement{Text: text, Line: f.Pos.Line, Column: f.Pos.Column, Steps: []scheduler.ID{f.Step}}
}
