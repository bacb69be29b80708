package web

import (
	"testing"
	"time"

	"gaugerod/db"
)

// TestSearchesAreToldAsTheyStand in a sentence each.
func TestSearchesAreToldAsTheyStand(t *testing.T) {
	b := sceneBoard(t)
	at := time.Date(2026, 5, 19, 9, 5, 0, 0, time.UTC)
	for _, c := range []struct {
		search db.Search
		want   string
	}{
		{db.Search{State: db.SearchWaiting}, "The plan of revision 7 waits for its turn since Tue 19 May, 09:05."},
		{db.Search{State: db.SearchRunning, Round: 1}, "The plan of revision 7 is being searched for: round 2 of 3 is under way; the best plan known finishes on Tue 19 May."},
		{db.Search{State: db.SearchRunning, Round: 3}, "The plan of revision 7 is being searched for: round 3 of 3 is under way; the best plan known finishes on Tue 19 May."},
		{db.Search{State: db.SearchDone, Round: 1, Proven: true}, "The plan of revision 7 was searched for in 1 round; the best plan known finishes on Tue 19 May, proven the earliest."},
		{db.Search{State: db.SearchOvertaken}, "The search for the plan of revision 7 ended when the job changed."},
		{db.Search{State: db.SearchGivenUp}, "The search for the plan of revision 7 failed again and again and was given up; the plan at hand stands."},
	} {
		c.search.Revision, c.search.Rounds, c.search.Asked, c.search.Finish = 7, 3, at, at
		if got := b.searched(&c.search).Text(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
