package web

import (
	"errors"
	"path"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// stepForms are the forms of a step's page; those that do not apply are nil.
type stepForms struct {
	Revision int64 // that the forms were made from
	People   *choices
	Delivery bool // the hold point is a delivery: its words are others
	Early    bool // something before it is not done: it can hardly be released
	Measure  string
	Mine     string // who alone may release it
	Release  *form
	Refuse   *form
	Book     *form
	Expect   *form
	Progress *form
	TakeBack *form
}

// sentBack says whether a form has come back with problems.
func (f *stepForms) sentBack() bool {
	for _, in := range []*form{f.Release, f.Refuse, f.Book, f.Expect, f.Progress, f.TakeBack} {
		if in != nil && !in.ok() {
			return true
		}
	}
	return false
}

// stepForms fills the forms with what is known.
func (b *board) stepForms(s *scheduler.PlannedStep) stepForms {
	f := stepForms{Revision: b.Revision, People: b.everybody()}
	fact := b.facts[s.ID]
	if fact == nil {
		fact = &scheduler.Fact{}
	} else {
		f.TakeBack = b.newForm(s, "take-back", "")
	}
	if s.Kind != scheduler.HoldStep {
		f.Progress = b.newForm(s, "progress", fact.By)
		f.Progress.fill("started", "started-time", fact.Started)
		f.Progress.fill("done", "done-time", fact.Done)
		if fact.Remaining != nil {
			f.Progress.set("remaining", fact.Remaining.String())
		}
		return f
	}
	if s.State == scheduler.Complete {
		return f
	}
	f.Delivery, f.Early = s.Order != "", s.State == scheduler.Waiting
	var by scheduler.ID
	if k, ok := b.Network.Find(s.ID); ok {
		n := &b.Network.Steps[k]
		by = n.By
		if n.Nominal != nil {
			f.Measure = strconv.Itoa(*n.Nominal) + " mm, give or take " + strconv.Itoa(n.Tolerance)
		}
	}
	if by != "" && !f.Delivery {
		f.Mine = b.who(by)
	}
	f.Release, f.Refuse = b.newForm(s, "release", by), b.newForm(s, "refuse", by)
	f.Release.set("day", b.AsOf.String())
	f.Refuse.set("day", b.AsOf.String())
	if f.Delivery {
		f.Expect = b.newForm(s, "expect", fact.By)
		f.Expect.fill("day", "time", fact.Expected)
	} else if n := b.holds[s.ID]; n != nil && n.Kind != scheduler.Decision {
		f.Book = b.newForm(s, "book", fact.By)
		f.Book.fill("day", "time", fact.Booked)
	}
	return f
}

// newForm is a form with who is to be in it, nil where the reader may not send it.
func (b *board) newForm(s *scheduler.PlannedStep, name string, by scheduler.ID) *form {
	if !b.may("/steps/:step/" + name) {
		return nil
	}
	f := &form{Name: name, Action: b.link("/steps/" + string(s.ID) + "/" + name)}
	f.set("by", string(by))
	return f
}

// post applies one form of a step's page; where it has problems the page comes
// back with what was typed.
func (p *Pages) post(c echo.Context, said string, in form, place func(*stepForms, *form), command func(b *board, in *form) func(*scheduler.Job) error) error {
	b, s, err := p.boardAndStep(c)
	if err != nil {
		return err
	}
	in.Action = c.Request().URL.RequestURI()
	in.Name = path.Base(c.Request().URL.Path)
	in.About = string(s.ID)
	change := command(b, &in)
	err = p.apply(c, b, &in, change, "/steps/"+string(s.ID), said)
	return p.orAgain(err, func(status int) error {
		forms := b.stepForms(s)
		place(&forms, &in)
		pg := newStepPage(b, s, forms)
		if pg.Attached, err = p.attached(c, b, s, ""); err != nil {
			return err
		}
		return p.render(c, status, pg)
	})
}

func stepOf(c echo.Context) scheduler.ID { return scheduler.ID(c.Param("step")) }

func (p *Pages) release(c echo.Context) error {
	in := readForm(c, "day", "time", "by", "measured", "note", "evidence")
	return p.post(c, "release", in, func(f *stepForms, in *form) { f.Release = in }, func(b *board, in *form) func(*scheduler.Job) error {
		v := in.verdict(stepOf(c))
		return b.notAhead(v.At, func(j *scheduler.Job) error { return j.Release(v) })
	})
}

func (p *Pages) refuse(c echo.Context) error {
	in := readForm(c, "day", "time", "by", "measured", "note", "evidence")
	return p.post(c, "refuse", in, func(f *stepForms, in *form) { f.Refuse = in }, func(b *board, in *form) func(*scheduler.Job) error {
		v := in.verdict(stepOf(c))
		return b.notAhead(v.At, func(j *scheduler.Job) error { return j.Refuse(v) })
	})
}

func (f *form) verdict(hold scheduler.ID) scheduler.Verdict {
	v := scheduler.Verdict{
		Hold: hold, At: f.mustWhen("time"), By: scheduler.ID(f.Value("by")), Note: f.Value("note"), Evidence: f.Value("evidence"),
	}
	if text := f.Value("measured"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			f.wrong("measured", "Write whole millimetres, for instance 902.")
		}
		v.Measured = &n
	}
	return v
}

// notAhead refuses to record as happened what lies after the as-of day.
func (b *board) notAhead(at worktime.When, change func(*scheduler.Job) error) func(*scheduler.Job) error {
	asOf := b.AsOf
	return func(j *scheduler.Job) error {
		if err := (scheduler.Fact{Released: &at}).NotAfter(asOf); err != nil {
			return atField(err, "day")
		}
		return change(j)
	}
}

func (p *Pages) book(c echo.Context) error {
	in := readForm(c, "day", "time", "by")
	return p.post(c, "book", in, func(f *stepForms, in *form) { f.Book = in }, func(_ *board, in *form) func(*scheduler.Job) error {
		at, by := in.mustWhen("time"), scheduler.ID(in.Value("by"))
		return func(j *scheduler.Job) error { return j.Book(stepOf(c), at, by) }
	})
}

func (p *Pages) expect(c echo.Context) error {
	in := readForm(c, "day", "time", "by", "note")
	return p.post(c, "expect", in, func(f *stepForms, in *form) { f.Expect = in }, func(_ *board, in *form) func(*scheduler.Job) error {
		at := in.mustWhen("time")
		f := scheduler.Fact{Step: stepOf(c), Expected: &at, By: scheduler.ID(in.Value("by")), Note: in.Value("note")}
		return func(j *scheduler.Job) error { return j.Record(f) }
	})
}

func (p *Pages) progress(c echo.Context) error {
	in := readForm(c, "started", "started-time", "done", "done-time", "remaining", "by", "note")
	return p.post(c, "progress", in, func(f *stepForms, in *form) { f.Progress = in }, func(b *board, in *form) func(*scheduler.Job) error {
		f := scheduler.Fact{
			Step: stepOf(c), Started: in.when("started", "started-time"), Done: in.when("done", "done-time"),
			By: scheduler.ID(in.Value("by")), Note: in.Value("note"),
		}
		if text := in.Value("remaining"); text != "" {
			span, err := worktime.ParseSpan(text)
			if err != nil {
				in.wrong("remaining", err.Error())
			}
			f.Remaining = &span
		}
		asOf := b.AsOf
		return func(j *scheduler.Job) error {
			if err := f.NotAfter(asOf); err != nil {
				return atField(err, lateField(f, asOf))
			}
			return j.Record(f)
		}
	})
}

// lateField is the field whose day lies after as of.
func lateField(f scheduler.Fact, asOf worktime.Date) string {
	if f.Started != nil && f.Started.Day > asOf {
		return "started"
	}
	return "done"
}

func (p *Pages) takeBack(c echo.Context) error {
	in := readForm(c)
	return p.post(c, "taken-back", in, func(f *stepForms, in *form) { f.TakeBack = in }, func(_ *board, _ *form) func(*scheduler.Job) error {
		return func(j *scheduler.Job) error { return j.Forget(stepOf(c)) }
	})
}

// atField says which field of the form a refusal is about.
func atField(err error, field string) error {
	var r *scheduler.Refusal
	if !errors.As(err, &r) || r.Field != "" {
		return err
	}
	at := *r
	at.Field = field
	return &at
}
