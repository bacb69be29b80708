package api

import (
	"context"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// DrawingsBody is the sheets by which the work of a job is done.
type DrawingsBody struct {
	Standing
	Drawings []DrawingBody `json:"drawings" nullable:"false"`
}

// DrawingBody is one sheet, and when it is needed.
type DrawingBody struct {
	ID       scheduler.ID   `json:"id"`
	Title    string         `json:"title"`
	Revision string         `json:"revision,omitempty" doc:"The one that counts; left out: none is out yet."`
	On       *worktime.Date `json:"on,omitempty" doc:"The day on which it was sent out."`
	Places   []scheduler.ID `json:"places" nullable:"false" doc:"It shows all work in these places and below them."`
	Steps    []scheduler.ID `json:"steps" nullable:"false" doc:"And these steps."`
	Next     *NextByDrawing `json:"next,omitempty" doc:"The first work by it that is not done."`
}

// NextByDrawing is the step for which a drawing is needed next.
type NextByDrawing struct {
	Step  scheduler.ID    `json:"step"`
	On    worktime.Date   `json:"on" doc:"The day on which it begins."`
	State scheduler.State `json:"state"`
}

func (s *Server) drawingRoutes() {
	register(s, get("list-drawings", "/jobs/{job}/drawings", "Drawings, the revisions that count, and when each is needed next"),
		func(ctx context.Context, in *PlanQuery) (*Answer[DrawingsBody], error) {
			return answerPlan(ctx, s, in, func(sheet *office.Sheet, standing Standing) (DrawingsBody, error) {
				return DrawingsBody{Standing: standing, Drawings: showDrawings(sheet)}, nil
			})
		})
}

func showDrawings(sheet *office.Sheet) []DrawingBody {
	all := make([]DrawingBody, 0, len(sheet.Job.Drawings))
	for k, next := range sheet.NextByDrawing() {
		d := &sheet.Job.Drawings[k]
		b := DrawingBody{ID: d.ID, Title: d.Title, Revision: d.Revision, On: d.On, Places: list(d.Places), Steps: list(d.Steps)}
		if next != nil {
			b.Next = &NextByDrawing{Step: next.ID, On: worktime.DateOf(next.Start), State: next.State}
		}
		all = append(all, b)
	}
	return all
}
