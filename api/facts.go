package api

import (
	"context"
	"net/http"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// RecordBody is what is recorded of a step.
type RecordBody struct {
	Started   *worktime.When `json:"started,omitempty"`
	Done      *worktime.When `json:"done,omitempty"`
	Remaining *worktime.Span `json:"remaining,omitempty" doc:"What is left of a started step, as of the as-of day."`
	Booked    *worktime.When `json:"booked,omitempty" doc:"Hold points: when the visit is to be."`
	Expected  *worktime.When `json:"expected,omitempty" doc:"The latest word on when it comes."`
	Released  *worktime.When `json:"released,omitempty" doc:"Hold points."`
	Refused   *worktime.When `json:"refused,omitempty" doc:"Hold points: looked at and not released."`
	Measured  *int           `json:"measured,omitempty" doc:"Measures: what was found, mm."`
	By        scheduler.ID   `json:"by,omitempty" maxLength:"100" doc:"The person who released, refused or reported."`
	Note      string         `json:"note,omitempty" maxLength:"2000"`
	Evidence  string         `json:"evidence,omitempty" maxLength:"2000"`
}

// FactBody is a record with the step it is of.
type FactBody struct {
	Step scheduler.ID `json:"step"`
	RecordBody
}

// FactsBody is all that is recorded of a job.
type FactsBody struct {
	Standing
	Facts []FactBody `json:"facts" nullable:"false"`
}

func (b RecordBody) fact(step scheduler.ID) scheduler.Fact {
	return scheduler.Fact{
		Step: step, Started: b.Started, Done: b.Done, Remaining: b.Remaining, Booked: b.Booked, Expected: b.Expected,
		Released: b.Released, Refused: b.Refused, Measured: b.Measured, By: b.By, Note: b.Note, Evidence: b.Evidence,
	}
}

func showFact(f scheduler.Fact) FactBody {
	return FactBody{Step: f.Step, RecordBody: RecordBody{
		Started: f.Started, Done: f.Done, Remaining: f.Remaining, Booked: f.Booked, Expected: f.Expected,
		Released: f.Released, Refused: f.Refused, Measured: f.Measured, By: f.By, Note: f.Note, Evidence: f.Evidence,
	}}
}

type recordInput struct {
	Change
	StepPath
	Body RecordBody
}

func (s *Server) factRoutes() {
	register(s, get("list-facts", "/jobs/{job}/facts", "All that is recorded"),
		func(ctx context.Context, in *JobQuery) (*Answer[FactsBody], error) {
			return answerJob(ctx, s, in, func(j *scheduler.Job, standing Standing) (FactsBody, error) {
				b := FactsBody{Standing: standing, Facts: make([]FactBody, 0, len(j.Facts))}
				for _, f := range j.Facts {
					b.Facts = append(b.Facts, showFact(f))
				}
				return b, nil
			})
		})
	register(s, route{
		id: "record", method: http.MethodPatch, path: "/jobs/{job}/facts/{step}",
		summary: "Record progress; what is left out stays as it was",
	}, s.record((*scheduler.Job).Record))
	register(s, route{
		id: "correct", method: http.MethodPut, path: "/jobs/{job}/facts/{step}",
		summary: "Correct a record: this in the place of all that was recorded of the step",
	}, s.record((*scheduler.Job).Correct))
	register(s, route{id: "forget", method: http.MethodDelete, path: "/jobs/{job}/facts/{step}", summary: "Take back what was recorded of a step"},
		func(ctx context.Context, in *struct {
			Change
			StepPath
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.Forget(in.Step) })
		})
}

func (s *Server) record(keep func(*scheduler.Job, scheduler.Fact) error) func(context.Context, *recordInput) (*Changed, error) {
	return func(ctx context.Context, in *recordInput) (*Changed, error) {
		fact := in.Body.fact(in.Step)
		return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
			if err := s.notAhead(j, fact); err != nil {
				return err
			}
			return keep(j, fact)
		})
	}
}

// notAhead refuses to record what lies after the day the job is planned from.
func (s *Server) notAhead(j *scheduler.Job, f scheduler.Fact) error {
	asOf, err := s.office.AsOf(j)
	if err != nil {
		return err
	}
	return f.NotAfter(asOf)
}
