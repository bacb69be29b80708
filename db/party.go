package db

import "gaugerod/scheduler"

type partyRow struct {
	ID scheduler.ID `json:"id" db:"key"`
}

// parties follow from the trades and people of a job.
var parties = content[partyRow]{
	name: "party",
	split: func(j *scheduler.Job) []partyRow {
		names := nameSet[partyRow]{}
		for k := range j.Trades {
			names.add(j.Trades[k].ID, partyRow{j.Trades[k].ID})
		}
		for k := range j.People {
			names.add(j.People[k].ID, partyRow{j.People[k].ID})
		}
		return names.rows
	},
}

// nameSet is rows by name, each once.
type nameSet[R any] struct {
	rows []R
	seen map[scheduler.ID]bool
}

func (s *nameSet[R]) add(name scheduler.ID, row R) {
	if s.seen == nil {
		s.seen = map[scheduler.ID]bool{}
	}
	if !s.seen[name] {
		s.seen[name] = true
		s.rows = append(s.rows, row)
	}
}
