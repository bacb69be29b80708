package api

import (
	"context"
	"net/http"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// PinBody is a person's word about when a step starts.
type PinBody struct {
	On        *worktime.Date `json:"on,omitempty" doc:"It starts on this day."`
	NotBefore *worktime.Date `json:"not_before,omitempty" doc:"It starts on this day or later."`
	By        scheduler.ID   `json:"by" maxLength:"100"`
	Reason    string         `json:"reason" maxLength:"2000"`
}

// PinnedStep is a pin with the step it is of.
type PinnedStep struct {
	Step scheduler.ID `json:"step"`
	PinBody
}

// PinsBody is all the pins of a job.
type PinsBody struct {
	Standing
	Pins []PinnedStep `json:"pins" nullable:"false"`
}

func (s *Server) pinRoutes() {
	register(s, get("list-pins", "/jobs/{job}/pins", "Starts that a person has fixed"),
		func(ctx context.Context, in *JobQuery) (*Answer[PinsBody], error) {
			return answerJob(ctx, s, in, func(j *scheduler.Job, standing Standing) (PinsBody, error) {
				b := PinsBody{Standing: standing, Pins: make([]PinnedStep, 0, len(j.Pins))}
				for _, p := range j.Pins {
					b.Pins = append(b.Pins, PinnedStep{p.Step, PinBody{On: p.On, NotBefore: p.NotBefore, By: p.By, Reason: p.Reason}})
				}
				return b, nil
			})
		})
	register(s, route{id: "pin", method: http.MethodPut, path: "/jobs/{job}/pins/{step}", summary: "Fix when a step starts, with a reason"},
		func(ctx context.Context, in *struct {
			Change
			StepPath
			Body PinBody
		},
		) (*Changed, error) {
			b := in.Body
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error {
				return j.Pin(scheduler.Pin{Step: in.Step, On: b.On, NotBefore: b.NotBefore, By: b.By, Reason: b.Reason})
			})
		})
	register(s, route{id: "unpin", method: http.MethodDelete, path: "/jobs/{job}/pins/{step}", summary: "Let a step go again"},
		func(ctx context.Context, in *struct {
			Change
			StepPath
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.Unpin(in.Step) })
		})
}
