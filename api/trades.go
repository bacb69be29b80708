package api

import (
	"context"
	"net/http"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// TradePath names one trade in an address.
type TradePath struct {
	Trade scheduler.ID `path:"trade" maxLength:"100" doc:"The trade's name."`
}

// TradeBody is a firm or gang that comes and goes.
type TradeBody struct {
	ID     scheduler.ID        `json:"id"`
	Title  string              `json:"title"`
	Short  string              `json:"short,omitempty"`
	Crews  int                 `json:"crews" doc:"How many it can send at once."`
	Notice worktime.Span       `json:"notice" doc:"How long before a visit it must be told."`
	Week   map[string][]string `json:"week,omitempty" doc:"Working periods of its own; left out: the site's."`
	Off    []ClosureBody       `json:"off" nullable:"false" doc:"Days on which it does not come."`
}

// TradesBody is all the trades of a job.
type TradesBody struct {
	Standing
	Trades []TradeBody `json:"trades" nullable:"false"`
}

// TradeAnswer is one trade.
type TradeAnswer struct {
	Standing
	Trade TradeBody `json:"trade"`
}

// CrewsBody says how many crews a trade can send at once.
type CrewsBody struct {
	Crews int `json:"crews" minimum:"1" maximum:"1000"`
}

// OffBody is the days on which a trade does not come.
type OffBody struct {
	Off []ClosureBody `json:"off" nullable:"false" maxItems:"1000"`
}

func (s *Server) tradeRoutes() {
	register(s, get("list-trades", "/jobs/{job}/trades", "All trades"),
		func(ctx context.Context, in *JobQuery) (*Answer[TradesBody], error) {
			return answerJob(ctx, s, in, func(j *scheduler.Job, standing Standing) (TradesBody, error) {
				b := TradesBody{Standing: standing, Trades: make([]TradeBody, 0, len(j.Trades))}
				for _, t := range j.Trades {
					b.Trades = append(b.Trades, showTrade(t))
				}
				return b, nil
			})
		})
	register(s, get("get-trade", "/jobs/{job}/trades/{trade}", "One trade"),
		func(ctx context.Context, in *struct {
			JobQuery
			TradePath
		},
		) (*Answer[TradeAnswer], error) {
			return answerJob(ctx, s, &in.JobQuery, func(j *scheduler.Job, standing Standing) (TradeAnswer, error) {
				t, err := findTrade(j, in.Trade)
				return TradeAnswer{Standing: standing, Trade: showTrade(t)}, err
			})
		})
	register(s, route{id: "set-crews", method: http.MethodPut, path: "/jobs/{job}/trades/{trade}/crews", summary: "Change how many crews a trade can send at once"},
		func(ctx context.Context, in *struct {
			Change
			TradePath
			Body CrewsBody
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.SetCrews(in.Trade, in.Body.Crews) })
		})
	register(s, route{id: "set-days-off", method: http.MethodPut, path: "/jobs/{job}/trades/{trade}/off", summary: "Change the days on which a trade does not come"}, s.setOff)
}

func (s *Server) setOff(ctx context.Context, in *struct {
	Change
	TradePath
	Body OffBody
},
) (*Changed, error) {
	off := make([]scheduler.Closure, 0, len(in.Body.Off))
	for _, c := range in.Body.Off {
		off = append(off, scheduler.Closure{From: c.From, To: c.To, Why: c.Why})
	}
	return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.SetOff(in.Trade, off) })
}

func findTrade(j *scheduler.Job, id scheduler.ID) (scheduler.Trade, error) {
	for _, t := range j.Trades {
		if t.ID == id {
			return t, nil
		}
	}
	return scheduler.Trade{}, notFound("trade", id)
}

func showTrade(t scheduler.Trade) TradeBody {
	b := TradeBody{ID: t.ID, Title: t.Title, Short: t.Short, Crews: t.Crews, Notice: t.Notice, Off: closures(t.Off)}
	if t.Week != nil {
		b.Week = week(*t.Week)
	}
	return b
}
