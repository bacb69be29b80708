package scheduler

import "gaugerod/scheduler/worktime"

// Record adds to what is known of a step: what f leaves out stays as it was
// recorded. A step that is done has nothing left, so its remaining span goes; a
// release takes the place of an earlier refusal, and the other way round.
//
// Errors are Refusals: no such step or person, a field that its kind of step does
// not have, or a record that contradicts itself. Then nothing is changed.
func (j *Job) Record(f Fact) error {
	merged := Fact{Step: f.Step}
	if before := j.FindFact(f.Step); before != nil {
		merged = *before
	}
	merged.add(f)
	return j.keepFact(merged)
}

// Correct puts f in the place of all that was recorded of its step: the way to
// take back a mistake. An f that says nothing takes the whole record away.
func (j *Job) Correct(f Fact) error {
	if f.empty() {
		return j.Forget(f.Step)
	}
	return j.keepFact(f)
}

// Forget takes away what was recorded of a step.
func (j *Job) Forget(step ID) error {
	if _, err := j.origin(step); err != nil {
		return err
	}
	for k := range j.Facts {
		if j.Facts[k].Step == step {
			j.Facts = append(j.Facts[:k:k], j.Facts[k+1:]...)
			return nil
		}
	}
	return refuse(ErrAlready, "step", "", "nothing is recorded of %s", step)
}

// Latest is the last day on which f says that something happened, false where it
// says so of nothing. What is booked or expected may lie ahead.
func (f Fact) Latest() (worktime.Date, bool) {
	var latest worktime.Date
	found := false
	for _, w := range []*worktime.When{f.Started, f.Done, f.Released, f.Refused} {
		if w != nil && (!found || w.Day > latest) {
			latest, found = w.Day, true
		}
	}
	return latest, found
}

// NotAfter is a Refusal when f says that something happened after the day: what
// lies ahead of as of is planned, never recorded.
func (f Fact) NotAfter(asOf worktime.Date) error {
	if latest, ok := f.Latest(); ok && latest > asOf {
		return refuse(ErrImpossible, "", "record what has happened by then, or move the job's as-of day on first",
			"%s lies after the as-of day %s", latest, asOf)
	}
	return nil
}

func (f *Fact) add(more Fact) {
	set(&f.Started, more.Started)
	set(&f.Done, more.Done)
	set(&f.Remaining, more.Remaining)
	set(&f.Booked, more.Booked)
	set(&f.Expected, more.Expected)
	set(&f.Released, more.Released)
	set(&f.Refused, more.Refused)
	set(&f.Measured, more.Measured)
	if more.By != "" {
		f.By = more.By
	}
	if more.Note != "" {
		f.Note = more.Note
	}
	if more.Evidence != "" {
		f.Evidence = more.Evidence
	}
	if more.Done != nil && more.Remaining == nil {
		f.Remaining = nil
	}
	switch {
	case more.Released != nil && more.Refused == nil:
		f.Refused = nil
	case more.Refused != nil && more.Released == nil:
		f.Released = nil
	}
}

func set[T any](field **T, value *T) {
	if value != nil {
		*field = value
	}
}

func (f *Fact) empty() bool {
	return f.Started == nil && f.Done == nil && f.Remaining == nil && f.Booked == nil && f.Expected == nil &&
		f.Released == nil && f.Refused == nil && f.Measured == nil && f.By == "" && f.Note == "" && f.Evidence == ""
}

// keepFact checks a whole record and puts it in the place of the step's earlier one.
func (j *Job) keepFact(f Fact) error {
	step, err := j.origin(f.Step)
	if err != nil {
		return err
	}
	if f.empty() {
		return refuse(ErrIncomplete, "", "say what happened", "the record of %s says nothing", f.Step)
	}
	if err := j.reporter(&f); err != nil {
		return err
	}
	if step.kind == HoldStep {
		err = f.checkHold(step)
	} else {
		err = f.checkWork(step.kind)
	}
	if err != nil {
		return err
	}
	if before := j.FindFact(f.Step); before != nil {
		f.Pos = before.Pos
		*before = f
		return nil
	}
	j.Facts = append(j.Facts, f)
	return nil
}

// reporter checks who records: a person where a hold point is released or refused,
// else perhaps a trade that tells of its own work.
func (j *Job) reporter(f *Fact) error {
	if f.By == "" {
		return nil
	}
	if f.Released == nil && f.Refused == nil {
		if _, err := j.trade(f.By); err == nil {
			return nil
		}
	}
	return j.person(f.By)
}

// checkWork holds a record against what tasks and stages can have.
func (f *Fact) checkWork(kind StepKind) error {
	const mend = "a task or stage is started and done"
	switch {
	case f.Released != nil:
		return refuse(ErrWrongKind, "released", mend, "%s is a %s: nobody releases it", f.Step, kind)
	case f.Refused != nil:
		return refuse(ErrWrongKind, "refused", mend, "%s is a %s: nobody refuses it", f.Step, kind)
	case f.Booked != nil:
		return refuse(ErrWrongKind, "booked", "say from when it is expected, or pin it", "%s is a %s: nobody books it", f.Step, kind)
	case f.Measured != nil:
		return refuse(ErrWrongKind, "measured", mend, "%s is a %s: nothing is measured", f.Step, kind)
	case f.Remaining != nil && f.Started == nil:
		return refuse(ErrIncomplete, "started", "say when it was started", "%s has a span left but no start", f.Step)
	case f.Remaining != nil && f.Done != nil:
		return refuse(ErrImpossible, "remaining", "leave out one of the two", "%s is done and has a span left", f.Step)
	case f.Remaining != nil && f.Remaining.Zero():
		return refuse(ErrImpossible, "remaining", "say when it was done", "nothing is left of %s, so it is done", f.Step)
	case f.Started != nil && f.Done != nil && before(*f.Done, *f.Started):
		return refuse(ErrImpossible, "done", "mend one of the two days", "%s is done on %s, before its start on %s", f.Step, f.Done, f.Started)
	}
	return nil
}

// checkHold holds a record against what hold and witness points can have.
func (f *Fact) checkHold(step origin) error {
	const mend = "a hold point is booked, expected, released or refused"
	switch {
	case f.Started != nil:
		return refuse(ErrWrongKind, "started", mend, "%s is a hold point: it is not started", f.Step)
	case f.Done != nil:
		return refuse(ErrWrongKind, "done", mend, "%s is a hold point: it is not done but released", f.Step)
	case f.Remaining != nil:
		return refuse(ErrWrongKind, "remaining", mend, "%s is a hold point: it has no span left", f.Step)
	case f.Measured != nil && (step.hold == nil || step.hold.Kind != Measure):
		return refuse(ErrWrongKind, "measured", "leave the figure out", "%s is not a measure", f.Step)
	case f.Released != nil && f.Refused != nil && !before(*f.Refused, *f.Released):
		return refuse(ErrImpossible, "released", "leave out one of the two", "%s is released and refused", f.Step)
	}
	return nil
}

// before says whether a lies before b: by the day, and by the time where both have one.
func before(a, b worktime.When) bool {
	if a.Day != b.Day || a.Time == nil || b.Time == nil {
		return a.Day < b.Day
	}
	return *a.Time < *b.Time
}
