package api

import (
	"context"
	"encoding/json"
	"time"

	"gaugerod/db"
)

// HistoryLine is one thing that one change made, changed or took away.
type HistoryLine struct {
	Revision int64           `json:"revision" doc:"The revision that the change made."`
	At       time.Time       `json:"at"`
	Who      string          `json:"who"`
	Kind     string          `json:"kind" doc:"What kind of thing: task, hold, fact, …"`
	Key      string          `json:"key" doc:"Which: the name of the thing within the job."`
	Was      json.RawMessage `json:"was,omitempty" doc:"The thing before; left out: it was not there."`
	Is       json.RawMessage `json:"is,omitempty" doc:"The thing after; left out: it was taken away."`
}

// HistoryBody is the newest changes of a job, the newest first.
type HistoryBody struct {
	Lines []HistoryLine `json:"lines" nullable:"false"`
}

// PageQuery asks for a part of a long list.
type PageQuery struct {
	Before int64 `query:"before" minimum:"0" doc:"Only what came before this revision; 0 or left out: from the newest on."`
	Limit  int   `query:"limit" minimum:"1" maximum:"1000" default:"100" doc:"How many lines at most."`
}

func (s *Server) historyRoutes() {
	register(s, get("list-history", "/jobs/{job}/history", "Who changed what when: what was, and what is"), s.listHistory)
	s.revisionRoutes()
}

func (s *Server) listHistory(ctx context.Context, in *struct {
	JobPath
	PageQuery
},
) (*struct{ Body HistoryBody }, error) {
	if _, _, err := s.office.Job(ctx, in.Job); err != nil {
		return nil, err
	}
	lines, err := s.office.History(ctx, in.Job, in.Before, in.Limit)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body HistoryBody }{HistoryBody{Lines: make([]HistoryLine, 0, len(lines))}}
	for _, l := range lines {
		out.Body.Lines = append(out.Body.Lines, showHistory(l))
	}
	return out, nil
}

func showHistory(l db.HistoryLine) HistoryLine {
	return HistoryLine{Revision: l.Revision, At: l.At, Who: l.Who, Kind: l.Kind, Key: l.Key, Was: l.Was, Is: l.Is}
}
