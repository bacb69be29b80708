package web

import (
	"fmt"

	"gaugerod/db"
)

// searchesShown is how many searches for a better plan the history shows.
const searchesShown = 3

// searched says how far a search for a better plan has come.
func (b *board) searched(s *db.Search) Line {
	of := fmt.Sprintf("of revision %d", s.Revision)
	best := say("; the best plan known finishes on ", b.onEnd(s.Finish).is(recordedDay))
	if s.Proven {
		best = append(best, Part{Text: ", proven the earliest"})
	}
	switch s.State {
	case db.SearchWaiting:
		return say("The plan ", of, " waits for its turn since ", b.at(s.Asked).is(recordedDay), ".")
	case db.SearchRunning:
		return say("The plan ", of, " is being searched for: round ", fmt.Sprintf("%d of %d", min(s.Round+1, s.Rounds), s.Rounds), " is under way", best, ".")
	case db.SearchDone:
		return say("The plan ", of, " was searched for in ", count(2*int64(s.Round), "round"), best, ".")
	case db.SearchOvertaken:
		return say("The search for the plan ", of, " ended when the job changed.")
	default:
		return say("The search for the plan ", of, " failed again and again and was given up; the plan at hand stands.")
	}
}
