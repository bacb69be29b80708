package web

import (
	"errors"
	"sync/atomic"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// issuedSteps is the steps that stand on other days than those they were issued for, with
// their times in the last plan that was issued.
type issuedSteps struct {
	letter string
	was    map[scheduler.ID]*draw.Stretch
}

// issuedKey is under what they are kept beside a sheet.
type issuedKey struct{}

// readIssued reads the last plan that was issued, once for each sheet. A job without one,
// or one whose issue came with a file that does not hold its plan, has nothing to compare.
func (p *Pages) readIssued(c echo.Context, b *board) error {
	kept := b.issuedSteps()
	last := b.Job.LastIssue()
	if last == nil || kept.Load() != nil {
		return nil
	}
	issued, err := p.office.IssuedPlan(c.Request().Context(), b.Job.ID, last.Letter)
	if errors.Is(err, scheduler.ErrNotFound) {
		kept.Store(&issuedSteps{})
		return nil
	}
	if err != nil {
		return err
	}
	kept.Store(b.against(issued.Plan, last.Letter))
	return nil
}

func (b *board) issuedSteps() *atomic.Pointer[issuedSteps] {
	return b.Beside.Once(issuedKey{}, func() any { return &atomic.Pointer[issuedSteps]{} }).(*atomic.Pointer[issuedSteps])
}

// against holds every step against an issued plan, by its days.
func (b *board) against(issued *scheduler.Plan, letter string) *issuedSteps {
	is := &issuedSteps{letter: letter, was: map[scheduler.ID]*draw.Stretch{}}
	for k := range issued.Steps {
		was := &issued.Steps[k]
		now := b.steps[was.ID]
		if now == nil || b.civilEnd(now.Finish) == b.civilEnd(was.Finish) && (now.Kind == scheduler.HoldStep || b.civil(now.Start) == b.civil(was.Start)) {
			continue
		}
		s := &draw.Stretch{From: was.Start, Until: was.Finish}
		if was.Kind == scheduler.HoldStep { // a gate stands at its release
			s.From = was.Finish
		}
		is.was[was.ID] = s
	}
	return is
}

// wasOf is when a step was issued for, nil where it stands there, or was never issued.
func (b *board) wasOf(s *scheduler.PlannedStep) *draw.Stretch {
	if is := b.issuedSteps().Load(); is != nil {
		return is.was[s.ID]
	}
	return nil
}

// saysWas says so: "Issue A had it from Mon 3 Aug to Tue 4 Aug."
func (b *board) saysWas(s *scheduler.PlannedStep) string {
	was := b.wasOf(s)
	if was == nil {
		return ""
	}
	days := b.stay(was.From, was.Until).Text()
	if b.civil(was.From) != b.civilEnd(was.Until) {
		return "Issue " + b.issuedSteps().Load().letter + " had it from " + days + "."
	}
	return "Issue " + b.issuedSteps().Load().letter + " had it on " + days + "."
}
