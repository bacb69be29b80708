package office

import (
	"context"
	"fmt"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// What trades say. By its private link a trade says it of a window or step of its own,
// and any other is scheduler.ErrNotFound, whether it exists or not.

// Word is who speaks for a trade: it does by its link, a person of the job who had its
// word does in its name.
type Word struct {
	Trade scheduler.ID // whose window it has to be, empty: whosesoever
	By    scheduler.ID
}

// OwnWord is that of a trade itself.
func OwnWord(trade scheduler.ID) Word { return Word{Trade: trade, By: trade} }

// Days are those that a trade was shown of a window.
type Days struct{ From, Until worktime.Date }

// Confirm keeps a trade's word that it comes in a window. With seen, the window must
// still be planned for these days: a word given for others is none.
func (o *Office) Confirm(ctx context.Context, job scheduler.ID, who Word, window string, seen *Days, e db.Edit) (int64, error) {
	return o.answer(ctx, job, e, func(s *Sheet) (func(*scheduler.Job) error, error) {
		w, err := s.findWindow(who.Trade, window)
		if err != nil {
			return nil, err
		}
		if from, until := w.Days(); seen != nil && (*seen != Days{from, until}) {
			return nil, &scheduler.Refusal{
				Kind: scheduler.ErrImpossible, Field: "from",
				What: fmt.Sprintf("the window has moved meanwhile: it is now planned from %s to %s", from, until),
				Mend: "look at the new days, and confirm these or say that you cannot come",
			}
		}
		return func(j *scheduler.Job) error { return j.Confirm(w, who.By, s.AsOf) }, nil
	})
}

// CannotCome keeps a trade's word that it cannot come in a window on some days.
func (o *Office) CannotCome(ctx context.Context, job scheduler.ID, who Word, window string, a scheduler.Answer, e db.Edit) (int64, error) {
	return o.answer(ctx, job, e, func(s *Sheet) (func(*scheduler.Job) error, error) {
		w, err := s.findWindow(who.Trade, window)
		if err != nil {
			return nil, err
		}
		said := a
		said.On, said.By = s.AsOf, who.By
		return func(j *scheduler.Job) error { return j.CannotCome(w, said) }, nil
	})
}

// Progress records how far a trade is with a step of its own. What is left out stays
// as it was recorded.
func (o *Office) Progress(ctx context.Context, job, trade scheduler.ID, f scheduler.Fact, e db.Edit) (int64, error) {
	return o.answer(ctx, job, e, func(s *Sheet) (func(*scheduler.Job) error, error) {
		if !s.isOf(f.Step, trade) {
			return nil, scheduler.ErrNotFound
		}
		if st := s.Plan.FindStep(f.Step); st != nil && st.Kind == scheduler.HoldStep {
			return nil, &scheduler.Refusal{
				Kind: scheduler.ErrWrongKind, Field: "step", What: fmt.Sprintf("%s is a hold point: a person releases it", f.Step), Mend: "tell the site lead",
			}
		}
		said := f
		said.By = trade
		if err := said.NotAfter(s.AsOf); err != nil {
			return nil, err
		}
		return func(j *scheduler.Job) error { return j.Record(said) }, nil
	})
}

// answer makes a change that follows from the plan that a trade is shown.
func (o *Office) answer(ctx context.Context, job scheduler.ID, e db.Edit, from func(*Sheet) (func(*scheduler.Job) error, error)) (revision int64, err error) {
	err = o.onTheSheet(ctx, job, e, func(s *Sheet, e db.Edit) error {
		change, err := from(s)
		if err != nil {
			return err
		}
		revision, err = o.store.Change(ctx, job, e, change)
		return err
	})
	if err != nil {
		return 0, err
	}
	o.follow(ctx, job, revision)
	return revision, nil
}
