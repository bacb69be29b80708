package api

import (
	"context"
	"net/http"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// HoldPath names one hold point in an address.
type HoldPath struct {
	Hold scheduler.ID `path:"hold" maxLength:"200" doc:"The hold point's name; a delivery is order.delivery."`
}

// HoldsBody is hold and witness points with their days.
type HoldsBody struct {
	Standing
	kept
	Holds []scheduler.PlannedHold `json:"holds" nullable:"false"`
}

// HoldBody is one hold point with its days and what is recorded of it.
type HoldBody struct {
	Standing
	Hold scheduler.PlannedHold `json:"hold"`
	Fact *FactBody             `json:"fact,omitempty"`
}

// VerdictBody is what a named person says of a hold point after looking at it.
type VerdictBody struct {
	By       scheduler.ID   `json:"by" maxLength:"100" doc:"The person whose release or refusal it is."`
	At       *worktime.When `json:"at,omitempty" doc:"When; left out: now."`
	Measured *int           `json:"measured,omitempty" doc:"Measures: what was found, mm."`
	Note     string         `json:"note,omitempty" maxLength:"2000"`
	Evidence string         `json:"evidence,omitempty" maxLength:"2000" doc:"What shows it: a letter, a photo, a report."`
}

// BookingBody says when a visit is to be.
type BookingBody struct {
	At worktime.When `json:"at"`
	By scheduler.ID  `json:"by,omitempty" maxLength:"100" doc:"The person who arranged it."`
}

func (s *Server) holdRoutes() {
	register(s, get("list-holds", "/jobs/{job}/holds", "Hold and witness points with the days they are needed by"),
		func(ctx context.Context, in *PlanQuery) (*Answer[HoldsBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (HoldsBody, error) {
				return HoldsBody{Standing: standing, kept: keptBeside(sheet), Holds: list(sheet.Plan.Holds)}, nil
			})
		})
	register(s, get("get-hold", "/jobs/{job}/holds/{hold}", "One hold point with its days and record"), s.getHold)
	register(s, route{
		id: "release-hold", method: http.MethodPost, path: "/jobs/{job}/holds/{hold}/release",
		summary: "Release a hold point in the name of a person",
	}, s.verdict((*scheduler.Job).Release))
	register(s, route{
		id: "refuse-hold", method: http.MethodPost, path: "/jobs/{job}/holds/{hold}/refuse",
		summary: "Record that a hold point was looked at and not released, and why",
	}, s.verdict((*scheduler.Job).Refuse))
	register(s, route{
		id: "book-hold", method: http.MethodPost, path: "/jobs/{job}/holds/{hold}/book",
		summary: "Record when the visit is to be",
	},
		func(ctx context.Context, in *struct {
			Change
			HoldPath
			Body BookingBody
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.Book(in.Hold, in.Body.At, in.Body.By) })
		})
}

func (s *Server) getHold(ctx context.Context, in *struct {
	PlanQuery
	HoldPath
},
) (*Answer[HoldBody], error) {
	return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (HoldBody, error) {
		for _, h := range sheet.Plan.Holds {
			if h.ID == in.Hold {
				b := HoldBody{Standing: standing, Hold: h}
				if f := sheet.Job.FindFact(in.Hold); f != nil {
					fact := showFact(*f)
					b.Fact = &fact
				}
				return b, nil
			}
		}
		return HoldBody{}, notFound("hold point", in.Hold)
	})
}

type verdictInput struct {
	Change
	HoldPath
	Body VerdictBody
}

// verdict releases or refuses.
func (s *Server) verdict(say func(*scheduler.Job, scheduler.Verdict) error) func(context.Context, *verdictInput) (*Changed, error) {
	return func(ctx context.Context, in *verdictInput) (*Changed, error) {
		return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
			at, err := s.when(j, in.Body.At)
			if err != nil {
				return err
			}
			if err := s.notAhead(j, scheduler.Fact{Released: &at}); err != nil {
				return err
			}
			return say(j, scheduler.Verdict{
				Hold: in.Hold, At: at, By: in.Body.By, Measured: in.Body.Measured, Note: in.Body.Note, Evidence: in.Body.Evidence,
			})
		})
	}
}
