package api

import (
	"context"
	"time"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
)

// WhyLink is one step of a chain and what holds it where it is planned.
type WhyLink struct {
	Step     scheduler.ID       `json:"step"`
	Title    string             `json:"title"`
	Start    time.Time          `json:"start"`
	Finish   time.Time          `json:"finish"`
	Held     []scheduler.Driver `json:"held" nullable:"false" doc:"All that holds it there, the one followed first."`
	Next     scheduler.ID       `json:"next,omitempty" doc:"The step the chain goes on with."`
	Sentence string             `json:"sentence" doc:"The link in words."`
}

// WhyBody is the whole chain behind a step's dates, from the step back to as of.
type WhyBody struct {
	Standing
	Chain []WhyLink `json:"chain" nullable:"false"`
}

func (s *Server) whyRoutes() {
	register(s, get("why", "/jobs/{job}/steps/{step}/why", "Why a step is planned for when it is: the chain back to as of"), s.getWhy)
}

func (s *Server) getWhy(ctx context.Context, in *stepInput) (*Answer[WhyBody], error) {
	return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (WhyBody, error) {
		chain, err := why.Chain(sheet.Plan, in.Step)
		b := WhyBody{Standing: standing, Chain: make([]WhyLink, 0, len(chain))}
		for _, l := range chain {
			b.Chain = append(b.Chain, WhyLink{
				Step: l.Step, Title: l.Title, Start: l.Start, Finish: l.Finish, Held: list(l.Held), Next: l.Next, Sentence: l.Sentence(),
			})
		}
		return b, err
	})
}
