package api

import (
	"context"
	"time"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

// OddsBody is how likely the days of a plan are.
type OddsBody struct {
	Standing
	Tries  int        `json:"tries" doc:"How often the plan was tried; 0: it cannot be."`
	WhyNot string     `json:"why_not,omitempty"`
	Unsure int        `json:"unsure" doc:"Steps whose best or worst differs from what they take."`
	Finish *OddsOf    `json:"finish,omitempty" doc:"Of the end of all work."`
	Kept   int        `json:"kept" doc:"In how many tries all was done by the planned finish."`
	Dues   []DueOdds  `json:"dues" nullable:"false"`
	Sways  []SwayBody `json:"sways" nullable:"false" doc:"What the finish goes by, the most first."`
}

// OddsOf is by when something was so in half of the tries, and in nine of ten.
type OddsOf struct {
	Half time.Time `json:"half"`
	Nine time.Time `json:"nine_in_ten"`
}

// DueOdds is in how many of the tries a due day held.
type DueOdds struct {
	ID   scheduler.ID `json:"id"`
	Step scheduler.ID `json:"step"`
	By   time.Time    `json:"by"`
	Kept int          `json:"kept"`
}

// SwayBody is how much of the finish's coming and going goes by one step.
type SwayBody struct {
	Step  scheduler.ID `json:"step"`
	Share float64      `json:"share" doc:"Of its variance, from 0 to 1."`
}

func (s *Server) oddsRoutes() {
	register(s, get("get-odds", "/jobs/{job}/odds", "How likely the days are, by tries with the best and the worst that was written down"),
		func(ctx context.Context, in *PlanQuery) (*Answer[OddsBody], error) {
			return answerPlan(ctx, s, in, showOdds)
		})
}

func showOdds(sheet *office.Sheet, standing Standing) (OddsBody, error) {
	b := OddsBody{Standing: standing, Dues: make([]DueOdds, 0), Sways: make([]SwayBody, 0)}
	o, err := sheet.Odds()
	if err != nil {
		if b.WhyNot = office.NoOdds(err); b.WhyNot != "" {
			err = nil
		}
		return b, err
	}
	b.Tries, b.Unsure, b.Kept = o.Tries, o.Unsure, o.Done(sheet.Plan.Finish)
	b.Finish = &OddsOf{Half: o.FinishBy(0.5), Nine: o.FinishBy(0.9)}
	for _, d := range o.Dues {
		b.Dues = append(b.Dues, DueOdds{ID: d.ID, Step: d.Step, By: d.By, Kept: d.Kept})
	}
	for _, w := range o.Sways {
		b.Sways = append(b.Sways, SwayBody(w))
	}
	return b, nil
}
