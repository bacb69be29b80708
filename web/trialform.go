package web

import (
	"cmp"
	"errors"
	"strconv"
	"strings"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

// trialFields is every field of the forms that add a change to a trial.
var trialFields = []string{"what", "step", "trade", "day", "from", "to", "takes", "crews", "by", "reason", "layer", "after"}

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
		return trial.Op{Pin: &trial.Pin{Step: f.chosen("step"), NotBefore: &day, By: f.chosen("by"), Reason: f.Value("reason")}}
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
	switch {
	case errors.Is(err, db.ErrTrialChanged):
		f.Wrong = "Somebody has changed this trial since the page was shown. Look at it as it is now, and send it again if it holds."
	case errors.As(err, &op) && errors.As(err, &faults) && len(faults) > 0:
		f.Wrong = "Change " + strconv.Itoa(op.At+1) + " does not go: " + cmp.Or(faults[0].What, faults[0].Error())
		if faults[0].Mend != "" {
			f.Wrong += "; " + faults[0].Mend
		}
		f.Wrong += "."
	case errors.As(err, &op):
		f.Wrong = "Change " + strconv.Itoa(op.At+1) + " does not go: " + op.Cause.Error() + "."
	case errors.As(err, &refusal) && (!errors.Is(err, scheduler.ErrNotFound) || refusal.Field != ""):
		f.refused(refusal)
	default:
		return err
	}
	return nil
}

// trialChoices is what the forms of a trial offer.
type trialChoices struct {
	Deliveries, Steps, Trades, People, Layers *choices
}

// trialChoices are the things of a job that lie ahead.
func (b *board) trialChoices() trialChoices {
	var deliveries, steps, trades, layers []choice
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.State == scheduler.Complete {
			continue
		}
		text := s.Title
		if len(s.Places) > 0 {
			text += ", " + b.placeNames(s.Places)
		}
		if h := b.holds[s.ID]; h != nil && h.Kind == scheduler.Delivery {
			deliveries = append(deliveries, choice{string(s.ID), text})
			continue
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
	return trialChoices{newChoices(deliveries), newChoices(steps), newChoices(trades), b.everybody(), newChoices(layers)}
}
