// Package why answers "why is this on that day?": the chain of waits, limits,
// calendars and facts that holds a step where it is planned, back to as of, each
// link in words.
package why

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
)

// Link is one step of a chain and what holds it there.
type Link struct {
	Step   scheduler.ID       `json:"step"`
	Title  string             `json:"title"`
	Start  time.Time          `json:"start"`
	Finish time.Time          `json:"finish"`
	Held   []scheduler.Driver `json:"held"`           // all that hold it, the one followed first
	Next   scheduler.ID       `json:"next,omitempty"` // the step the chain goes on with
}

// Chain is the links from a step back to where nothing but as of, the job's start,
// a pin, a fact or somebody's word holds it. It is scheduler.ErrNotFound for a
// step that the plan does not have.
func Chain(plan *scheduler.Plan, step scheduler.ID) ([]Link, error) {
	steps := make(map[scheduler.ID]*scheduler.PlannedStep, len(plan.Steps))
	for k := range plan.Steps {
		steps[plan.Steps[k].ID] = &plan.Steps[k]
	}
	s := steps[step]
	if s == nil {
		return nil, fmt.Errorf("why is %q on that day: %w", step, scheduler.ErrNotFound)
	}
	var chain []Link
	for seen := map[scheduler.ID]bool{}; s != nil && !seen[s.ID]; {
		seen[s.ID] = true
		link := Link{Step: s.ID, Title: s.Title, Start: s.Start, Finish: s.Finish, Held: followed(s, seen)}
		if len(link.Held) > 0 && !seen[link.Held[0].Step] {
			link.Next = link.Held[0].Step
		}
		chain = append(chain, link)
		s = steps[link.Next]
	}
	return chain, nil
}

// followed is a step's drivers with the one that the chain follows first: one that
// leads back to a step not seen yet, if there is any, unless the step would be
// where it is without it.
func followed(s *scheduler.PlannedStep, seen map[scheduler.ID]bool) []scheduler.Driver {
	list := append([]scheduler.Driver(nil), s.Drivers...)
	for k, d := range list {
		if d.Step != "" && !seen[d.Step] {
			list[0], list[k] = list[k], list[0]
			break
		}
	}
	return list
}

// Sentence is a link in one sentence.
func (l *Link) Sentence() string {
	text := fmt.Sprintf("“%s” is planned from %s to %s", l.Title, day(l.Start), day(l.Finish))
	for k, d := range l.Held {
		if k == 0 {
			text += " because " + d.Text
		} else {
			text += "; also " + d.Text
		}
	}
	return text + "."
}

func day(t time.Time) string { return t.Format("Mon 2 Jan 2006, 15:04") }
