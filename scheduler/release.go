package scheduler

import "gaugerod/scheduler/worktime"

// Verdict is what a named person says of a hold point after looking at it.
type Verdict struct {
	Hold     ID
	At       worktime.When
	By       ID   // the person; the one the hold belongs to, where it names one
	Measured *int // measures: what was found, mm
	Note     string
	Evidence string // what shows it: a letter, a photo, a report
}

// Release opens a hold point in the name of a person. Where the hold says whose
// release it is, nobody else's counts. A measure needs its figure, and one out of
// tolerance a note saying why it is released all the same.
//
// Errors are Refusals; then nothing is changed.
func (j *Job) Release(v Verdict) error {
	step, err := j.verdict(v)
	if err != nil {
		return err
	}
	if h := step.hold; h != nil && h.Nominal != nil {
		if v.Measured == nil {
			return refuse(ErrIncomplete, "measured", "give what was found, in mm", "%s is released by a figure", v.Hold)
		}
		if off := *v.Measured - *h.Nominal; max(off, -off) > h.Tolerance && v.Note == "" {
			return refuse(ErrIncomplete, "note", "say in a note why it is released all the same, or refuse it",
				"%d mm is %d mm off %d, more than the %d allowed", *v.Measured, max(off, -off), *h.Nominal, h.Tolerance)
		}
	}
	return j.Record(Fact{Step: v.Hold, Released: &v.At, Measured: v.Measured, By: v.By, Note: v.Note, Evidence: v.Evidence})
}

// Refuse records that a hold point was looked at and not released, and why.
func (j *Job) Refuse(v Verdict) error {
	if _, err := j.verdict(v); err != nil {
		return err
	}
	if v.Note == "" {
		return refuse(ErrIncomplete, "note", "say what has to be put right", "the refusal of %s gives no reason", v.Hold)
	}
	return j.Record(Fact{Step: v.Hold, Refused: &v.At, Measured: v.Measured, By: v.By, Note: v.Note, Evidence: v.Evidence})
}

// Book records when the visit that releases a hold point is to be.
func (j *Job) Book(hold ID, at worktime.When, by ID) error {
	if _, err := j.openHold(hold); err != nil {
		return err
	}
	return j.Record(Fact{Step: hold, Booked: &at, By: by})
}

func (j *Job) verdict(v Verdict) (origin, error) {
	step, err := j.openHold(v.Hold)
	if err != nil {
		return step, err
	}
	if err := j.person(v.By); err != nil {
		return step, err
	}
	if h := step.hold; h != nil && h.By != "" && h.By != v.By {
		return step, refuse(ErrNotTheirs, "by", "record it in the name of the one who looked at it",
			"%s is released or refused by %s, not by %s", v.Hold, h.By, v.By)
	}
	return step, nil
}

// openHold finds a hold point that is not released yet.
func (j *Job) openHold(id ID) (origin, error) {
	step, err := j.origin(id)
	if err != nil {
		return step, err
	}
	if step.kind != HoldStep {
		return step, refuse(ErrWrongKind, "hold", "record its start and finish instead", "%s is a %s, not a hold point", id, step.kind)
	}
	if f := j.FindFact(id); f != nil && f.Released != nil {
		return step, refuse(ErrAlready, "hold", "correct the record if that was a mistake", "%s was released on %s", id, f.Released)
	}
	return step, nil
}
