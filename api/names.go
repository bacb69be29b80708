package api

import (
	"context"
	"net/http"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// NameBody gives a thing of a job another name.
type NameBody struct {
	Kind scheduler.NameKind `json:"kind"`
	In   scheduler.ID       `json:"in,omitempty" maxLength:"100" doc:"The order, typical or build-up that it is part of; left out: it is the job's own."`
	ID   scheduler.ID       `json:"id" minLength:"1" maxLength:"100" doc:"What it is called."`
	To   scheduler.ID       `json:"to" minLength:"1" maxLength:"100" doc:"What it is to be called."`
}

func (s *Server) nameRoutes() {
	register(s, route{
		id: "rename", method: http.MethodPost, path: "/jobs/{job}/names",
		summary: "Give a thing another name, with all that speaks of it; what an issued plan speaks of keeps its name",
	}, func(ctx context.Context, in *struct {
		Change
		Body NameBody
	},
	) (*Changed, error) {
		thing := scheduler.Named{Kind: in.Body.Kind, In: in.Body.In, ID: in.Body.ID}
		if err := rights.Rename(signin.From(ctx), thing); err != nil {
			return nil, err
		}
		return s.edited(ctx, in.Change, func(e db.Edit) (int64, error) {
			return s.office.Rename(ctx, in.Job, e, thing, in.Body.To)
		})
	})
}
