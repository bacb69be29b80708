package api

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

// mostSearches is how many of the last searches are told.
const mostSearches = 20

// Search is a long search for a better plan.
type Search struct {
	Revision int64         `json:"revision"`
	AsOf     worktime.Date `json:"as_of"`
	State    string        `json:"state" enum:"waiting,running,done,overtaken,given up" doc:"overtaken: the job has changed meanwhile."`
	Rounds   int           `json:"rounds" doc:"How many rounds it has, each with several times the effort of the one before."`
	Round    int           `json:"rounds_done"`
	Percent  int           `json:"percent"`
	Finish   time.Time     `json:"finish" doc:"The finish of the best plan known."`
	Proven   bool          `json:"proven" doc:"Whether that plan is proven the shortest."`
	Asked    time.Time     `json:"asked"`
	Begun    *time.Time    `json:"begun,omitempty"`
	Ended    *time.Time    `json:"ended,omitempty"`
}

// SearchesBody is the last searches of a job.
type SearchesBody struct {
	Searches []Search `json:"searches"`
}

// ComparisonPath names two plans that are compared.
type ComparisonPath struct {
	JobPath
	Revision int64  `path:"revision" minimum:"1" doc:"The later revision."`
	Against  string `path:"against" pattern:"^([1-9][0-9]{0,17}|[A-Z]{1,3})$" doc:"The earlier one: a revision by its number, or an issued plan by its letter."`
	AsOf     string `query:"as_of" format:"date" doc:"Plans that must be made for it are made as of this day, instead of the job's own or today."`
}

// ComparisonBody says how far a comparison has come.
type ComparisonBody struct {
	State string              `json:"state" enum:"waiting,done,given up"`
	AsOf  worktime.Date       `json:"as_of"`
	Asked time.Time           `json:"asked"`
	Ended *time.Time          `json:"ended,omitempty"`
	Moved *compare.Comparison `json:"moved,omitempty" doc:"What has moved and who must be told, when it is done."`
}

// ComparisonAnswer is a comparison that was asked for.
type ComparisonAnswer struct {
	CacheControl string `header:"Cache-Control"`
	Body         ComparisonBody
}

func (s *Server) searchRoutes() {
	register(s, get("list-searches", "/jobs/{job}/searches", "The last long searches for better plans: how far they have come, and the best finish so far"), s.searches)
	register(s, route{
		id: "ask-for-comparison", method: http.MethodPut, path: "/jobs/{job}/comparisons/{revision}/{against}",
		summary: "Have the plan of a revision compared with an earlier one; where plans must be made for it, that takes a while",
	}, func(ctx context.Context, in *ComparisonPath) (*ComparisonAnswer, error) {
		return s.comparison(ctx, in, s.office.AskForComparison)
	})
	register(s, get("get-comparison", "/jobs/{job}/comparisons/{revision}/{against}", "A comparison that was asked for, and what came of it"),
		func(ctx context.Context, in *ComparisonPath) (*ComparisonAnswer, error) {
			return s.comparison(ctx, in, s.office.Comparison)
		})
}

func (s *Server) comparison(ctx context.Context, in *ComparisonPath, ask func(context.Context, office.Comparing) (db.Comparison, worktime.Date, error)) (*ComparisonAnswer, error) {
	asked, err := askedDay(in.AsOf)
	if err != nil {
		return nil, err
	}
	c, day, err := ask(ctx, office.Comparing{Job: in.Job, Revision: in.Revision, Against: in.Against, AsOf: asked})
	if err != nil {
		return nil, err
	}
	body := ComparisonBody{State: string(c.State), AsOf: day, Asked: c.Asked, Ended: c.Ended}
	if c.Outcome != nil {
		body.Moved = &compare.Comparison{}
		if err := json.Unmarshal(c.Outcome, body.Moved); err != nil {
			return nil, err
		}
	}
	return &ComparisonAnswer{CacheControl: "no-store", Body: body}, nil
}

func (s *Server) searches(ctx context.Context, in *JobPath) (*Answer[SearchesBody], error) {
	found, err := s.office.Searches(ctx, in.Job, mostSearches)
	if err != nil {
		return nil, err
	}
	body := SearchesBody{Searches: make([]Search, len(found))}
	for k, f := range found {
		percent := 100
		if f.Ended == nil {
			percent = 100 * f.Round / max(f.Rounds, 1)
		}
		body.Searches[k] = Search{
			Revision: f.Revision, AsOf: f.AsOf, State: string(f.State), Rounds: f.Rounds, Round: f.Round, Percent: percent,
			Finish: f.Finish, Proven: f.Proven, Asked: f.Asked, Begun: f.Begun, Ended: f.Ended,
		}
	}
	return &Answer[SearchesBody]{CacheControl: "no-store", Body: body}, nil
}
