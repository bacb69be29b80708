package office

import "gaugerod/scheduler"

// What is found of the drawings is kept beside the sheet, under these keys.
type (
	drawingsKey      struct{}
	nextByDrawingKey struct{}
)

// Drawings finds the drawings that show a step.
func (s *Sheet) Drawings() *scheduler.Drawings {
	return s.Beside.Once(drawingsKey{}, func() any { return scheduler.NewDrawings(s.Network) }).(*scheduler.Drawings)
}

// NextByDrawing is, for each drawing of the job, the first step by it that is not done; nil
// where none is left.
func (s *Sheet) NextByDrawing() []*scheduler.PlannedStep {
	return s.Beside.Once(nextByDrawingKey{}, func() any { return s.Drawings().Next(s.Plan) }).([]*scheduler.PlannedStep)
}
