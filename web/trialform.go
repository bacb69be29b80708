package web

import (
	"cmp"
	"errors"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

// trialFields is every field of the forms that add a change to a trial.
var trialFields = []string{"what", "step", "trade", "day", "from", "to", "takes", "crews", "how", "by", "reason", "layer", "after"}

// op is the change that a form says, with its problems in the form.
func (f *form) op() trial.Op {
	switch f.Value("what") {
	case "expected":
		return trial.Op{Expected: &trial.Expected{Step: f.chosen("step"), Day: f.day("day")}}
	case "takes":
		takes, err := worktime.ParseSpan(f.Value("takes"))
		if err != nil {
			f.wrong("takes", upper(err.Error())+".")
		}
		return trial.Op{Takes: &trial.Takes{Step: f.chosen("step"), Takes: takes}}
	case "crews":
		crews, err := strconv.Atoi(f.Value("crews"))
		if err != nil {
			f.wrong("crews", "Give a whole number.")
		}
		return trial.Op{Crews: &trial.Crews{Trade: f.chosen("trade"), Crews: crews}}
	case "off":
		from := f.day("from")
		to := from
		if f.Value("to") != "" {
			to = f.day("to")
		}
		return trial.Op{Off: &trial.Off{Trade: f.chosen("trade"), From: from, To: to}}
	case "pin":
		day := f.day("day")
		pin := trial.Pin{Step: f.chosen("step"), NotBefore: &day, By: f.chosen("by"), Reason: f.Value("reason")}
		if f.Value("how") == onThatDay {
			pin.On, pin.NotBefore = &day, nil
		}
		return trial.Op{Pin: &pin}
	case "layer":
		buildUp, layer, _ := strings.Cut(f.Value("layer"), " ")
		_, after, _ := strings.Cut(f.Value("after"), " ")
		if whole, _, _ := strings.Cut(f.Value("after"), " "); after != "" && whole != buildUp {
			f.wrong("after", "Choose a layer of the same build-up.")
		}
		f.chosen("layer")
		return trial.Op{Layer: &trial.Layer{BuildUp: scheduler.ID(buildUp), Layer: scheduler.ID(layer), After: scheduler.ID(after)}}
	}
	f.Wrong = "It does not say what is to be tried."
	return trial.Op{}
}

// onThatDay has a step start on a day, and no later.
const onThatDay = "on"

// chosen is what was chosen from a list, which is needed.
func (f *form) chosen(field string) scheduler.ID {
	v := f.Value(field)
	if v == "" {
		f.wrong(field, "Choose one.")
	}
	return scheduler.ID(v)
}

// trialRefused puts what is said against a trial into the form; it is the error where
// that has no place there.
func (f *form) trialRefused(err error) error {
	var refusal *scheduler.Refusal
	var faults scheduler.Faults
	var op *trial.OpError
	var misfits jobfile.Misfits
	switch {
	case errors.Is(err, db.ErrTrialChanged):
		f.Wrong = "Somebody has changed this trial since the page was shown. Look at it as it is now, and send it again if it holds."
	case errors.As(err, &op) && errors.As(err, &faults) && len(faults) > 0:
		f.doesNotGo(op, faults[0])
	case errors.As(err, &op) && errors.As(err, &misfits) && len(misfits) > 0:
		f.doesNotGo(op, misfits[0].Fault)
	case errors.As(err, &op):
		f.Wrong = "Change " + strconv.Itoa(op.At+1) + " does not go: " + op.Cause.Error() + "."
	case errors.As(err, &refusal) && (!errors.Is(err, scheduler.ErrNotFound) || refusal.Field != ""):
		f.refused(refusal)
	default:
		return err
	}
	return nil
}

func (f *form) doesNotGo(op *trial.OpError, fault scheduler.Fault) {
	f.Wrong = "Change " + strconv.Itoa(op.At+1) + " does not go: " + cmp.Or(fault.What, fault.Error())
	if fault.Mend != "" {
		f.Wrong += "; " + fault.Mend
	}
	f.Wrong += "."
}

// choose has the form of the step that the address names filled in with it, as it is
// planned today.
func (b *board) choose(c echo.Context, in *form) {
	if in.Value("what") == "" {
		for _, what := range []string{"pin", "expected"} {
			s := b.steps[scheduler.ID(c.QueryParam(what))]
			if s == nil || s.State == scheduler.Complete {
				continue
			}
			in.set("what", what)
			in.set("step", string(s.ID))
			in.set("day", b.civil(s.Start).String())
		}
	}
	if in.Value("by") == "" {
		in.set("by", string(b.speaker()))
	}
	if in.Value("reason") == "" {
		in.set("reason", "moved in a trial")
	}
}

// speaker is the person in whose name the reader most likely speaks: themselves, else
// the first owner.
func (b *board) speaker() scheduler.ID {
	if b.visitor.Person != "" {
		return b.visitor.Person
	}
	for k := range b.Job.People {
		if b.Job.People[k].Role == scheduler.Owner {
			return b.Job.People[k].ID
		}
	}
	return ""
}

// trialChoices is what the forms of a trial offer.
type trialChoices struct {
	Comes, Steps, Trades, People, Layers *choices
}

// trialChoices are the things of a job that lie ahead.
func (b *board) trialChoices() trialChoices {
	var comes, steps, trades, layers []choice
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.State == scheduler.Complete {
			continue
		}
		text := s.Title
		if len(s.Places) > 0 {
			text += ", " + b.placeNames(s.Places)
		}
		if h := b.holds[s.ID]; h != nil {
			comes = append(comes, choice{string(s.ID), text})
			if h.Kind == scheduler.Delivery {
				continue
			}
		}
		steps = append(steps, choice{string(s.ID), text})
	}
	for k := range b.Job.Trades {
		t := &b.Job.Trades[k]
		trades = append(trades, choice{string(t.ID), t.Title + " (" + number(t.Crews, "crew") + ")"})
	}
	for k := range b.Job.BuildUps {
		u := &b.Job.BuildUps[k]
		for n := range u.Layers {
			layers = append(layers, choice{string(u.ID) + " " + string(u.Layers[n].ID), u.Title + ": " + u.Layers[n].Title})
		}
	}
	return trialChoices{newChoices(comes), newChoices(steps), newChoices(trades), b.everybody(), newChoices(layers)}
}
