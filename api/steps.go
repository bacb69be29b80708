package api

import (
	"context"
	"slices"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// StepPath names one step in an address.
type StepPath struct {
	Step scheduler.ID `path:"step" maxLength:"200" doc:"The step's name, for instance frame, windows.making or opening-n1.set."`
}

// StepsBody is steps with their dates.
type StepsBody struct {
	Standing
	Steps []scheduler.PlannedStep `json:"steps" nullable:"false"`
}

// StepBody is one step with its dates, its waits and what is recorded of it.
type StepBody struct {
	Standing
	Step   scheduler.PlannedStep   `json:"step"`
	Waits  []scheduler.PlannedWait `json:"waits" nullable:"false" doc:"The waits into it and out of it."`
	Fact   *FactBody               `json:"fact,omitempty"`
	Note   string                  `json:"note,omitempty"`
	Safety string                  `json:"safety,omitempty" doc:"What a step with cautions has to be read with."`
}

// TakesBody says how long a step takes.
type TakesBody struct {
	Takes worktime.Span `json:"takes"`
}

// safetyWord goes with every step that carries a caution.
const safetyWord = "This date is no permission to begin. The release of this step belongs to the licensed or authorised person; " +
	"local codes and the written word of engineer, inspector and manufacturer come first."

func (s *Server) stepRoutes() {
	register(s, get("list-steps", "/jobs/{job}/steps", "Steps with their dates, in the order of the job"), s.listSteps)
	register(s, get("get-step", "/jobs/{job}/steps/{step}", "One step with its dates, waits and record"), s.getStep)
	register(s, route{
		id: "set-takes", method: "PUT", path: "/jobs/{job}/steps/{step}/takes",
		summary: "Change how long a step takes; a typical's step is named as typical.step",
	},
		func(ctx context.Context, in *struct {
			Change
			StepPath
			Body TakesBody
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.SetTakes(in.Step, in.Body.Takes) })
		})
}

type stepsInput struct {
	PlanQuery
	Trade scheduler.ID    `query:"trade" doc:"Only steps of this trade."`
	Place scheduler.ID    `query:"place" doc:"Only steps in this place, not those below it."`
	State scheduler.State `query:"state" enum:"waiting,ready,underway,done,refused" doc:"Only steps that have come so far."`
}

func (s *Server) listSteps(ctx context.Context, in *stepsInput) (*Answer[StepsBody], error) {
	return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (StepsBody, error) {
		b := StepsBody{Standing: standing, Steps: make([]scheduler.PlannedStep, 0, len(sheet.Plan.Steps))}
		for _, step := range sheet.Plan.Steps {
			if (in.Trade == "" || slices.Contains(step.Trades, in.Trade)) &&
				(in.Place == "" || slices.Contains(step.Places, in.Place)) &&
				(in.State == "" || step.State == in.State) {
				b.Steps = append(b.Steps, step)
			}
		}
		return b, nil
	})
}

type stepInput struct {
	PlanQuery
	StepPath
}

func (s *Server) getStep(ctx context.Context, in *stepInput) (*Answer[StepBody], error) {
	return answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, standing Standing) (StepBody, error) {
		step := sheet.Plan.FindStep(in.Step)
		if step == nil {
			return StepBody{}, notFound("step", in.Step)
		}
		b := StepBody{Standing: standing, Step: *step, Waits: make([]scheduler.PlannedWait, 0)}
		for _, w := range sheet.Plan.Waits {
			if w.FromID == in.Step || w.ToID == in.Step {
				b.Waits = append(b.Waits, w)
			}
		}
		if f := sheet.Job.FindFact(in.Step); f != nil {
			fact := showFact(*f)
			b.Fact = &fact
		}
		if k, ok := sheet.Network.Find(in.Step); ok {
			b.Note = sheet.Network.Steps[k].Note
		}
		if len(step.Cautions) > 0 {
			b.Safety = safetyWord
		}
		return b, nil
	})
}
