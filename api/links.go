package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// TradeLinkBody is a trade's private link, without what it holds.
type TradeLinkBody struct {
	ID      uuid.UUID    `json:"id"`
	Trade   scheduler.ID `json:"trade"`
	Label   string       `json:"label" doc:"Whom it was given to: the name in the history."`
	By      string       `json:"by" doc:"Who made it."`
	Made    time.Time    `json:"made"`
	Until   time.Time    `json:"until" doc:"When it lapses."`
	Revoked *time.Time   `json:"revoked,omitempty" doc:"When it was taken back."`
	Used    *time.Time   `json:"used,omitempty" doc:"When it was last used, give or take some minutes."`
}

// TradeLinksBody is the links of a job.
type TradeLinksBody struct {
	Links []TradeLinkBody `json:"links" nullable:"false"`
}

// NewTradeLinkBody asks for a link.
type NewTradeLinkBody struct {
	Trade scheduler.ID `json:"trade" maxLength:"100"`
	Label string       `json:"label,omitempty" maxLength:"200" doc:"Whom it is given to; left out: the trade's title."`
	Days  int          `json:"days,omitempty" minimum:"1" maximum:"400" doc:"How long it lasts; left out: 120."`
}

// MadeTradeLinkBody is a link just made, with what is never shown again.
type MadeTradeLinkBody struct {
	TradeLinkBody
	Address  string `json:"address" format:"uri" doc:"Opens the trade's own part and nothing else. Shown only now."`
	Calendar string `json:"calendar" format:"uri" doc:"The address of its calendar, for calendar programs. Shown only now."`
	QR       string `json:"qr" doc:"The address as a code to photograph, in SVG. Shown only now."`
}

type madeTradeLinkAnswer struct {
	CacheControl string `header:"Cache-Control"`
	Body         MadeTradeLinkBody
}

func (s *Server) tradeLinkRoutes() {
	register(s, get("list-trade-links", "/jobs/{job}/links", "The private links of trades, with those that lapsed or were taken back"),
		func(ctx context.Context, in *JobPath) (*struct{ Body TradeLinksBody }, error) {
			if _, _, err := s.office.Job(ctx, in.Job); err != nil {
				return nil, err
			}
			links, err := s.people.Links(ctx, in.Job)
			if err != nil {
				return nil, err
			}
			out := &struct{ Body TradeLinksBody }{TradeLinksBody{Links: make([]TradeLinkBody, 0, len(links))}}
			for _, l := range links {
				out.Body.Links = append(out.Body.Links, tradeLinkBody(l))
			}
			return out, nil
		})
	register(s, route{
		id: "make-trade-link", method: http.MethodPost, path: "/jobs/{job}/links", summary: "Make a private link for a trade; what it holds is shown only now",
		also: func(op *huma.Operation) { op.DefaultStatus = http.StatusCreated },
	}, func(ctx context.Context, in *struct {
		JobPath
		Body NewTradeLinkBody
	},
	) (*madeTradeLinkAnswer, error) {
		made, err := s.people.MakeLink(ctx, signin.From(ctx), in.Job, in.Body.Trade, in.Body.Label, in.Body.Days, "")
		if err != nil {
			return nil, err
		}
		return &madeTradeLinkAnswer{CacheControl: noStore, Body: MadeTradeLinkBody{
			TradeLinkBody: tradeLinkBody(made.TradeLink), Address: made.Address, Calendar: made.Calendar, QR: made.QR,
		}}, nil
	})
	register(s, route{id: "revoke-trade-link", method: http.MethodDelete, path: "/jobs/{job}/links/{link}", summary: "Take a trade's link back, with its calendar and all its sessions, at once"},
		func(ctx context.Context, in *struct {
			JobPath
			Link uuid.UUID `path:"link"`
		},
		) (*struct{}, error) {
			return nil, s.people.RevokeLink(ctx, in.Job, in.Link)
		})
}

func tradeLinkBody(l db.TradeLink) TradeLinkBody {
	return TradeLinkBody{ID: l.ID, Trade: l.Trade, Label: l.Label, By: l.By, Made: l.Made, Until: l.Until, Revoked: l.Revoked, Used: l.Used}
}
