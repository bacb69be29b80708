package scheduler

// Pin fixes when a step starts, in the place of an earlier pin of that step.
func (j *Job) Pin(p Pin) error {
	if _, err := j.origin(p.Step); err != nil {
		return err
	}
	if err := j.person(p.By); err != nil {
		return err
	}
	switch {
	case p.Reason == "":
		return refuse(ErrIncomplete, "reason", "say why it is pinned", "the pin of %s gives no reason", p.Step)
	case p.On == nil && p.NotBefore == nil:
		return refuse(ErrIncomplete, "", "give the day it starts on, or the day it does not start before", "the pin of %s gives no day", p.Step)
	case p.On != nil && p.NotBefore != nil:
		return refuse(ErrImpossible, "", "leave out one of the two days", "the pin of %s gives two days", p.Step)
	}
	for k := range j.Pins {
		if j.Pins[k].Step == p.Step {
			p.Pos = j.Pins[k].Pos
			j.Pins[k] = p
			return nil
		}
	}
	j.Pins = append(j.Pins, p)
	return nil
}

// Unpin lets a step go again.
func (j *Job) Unpin(step ID) error {
	for k := range j.Pins {
		if j.Pins[k].Step == step {
			j.Pins = append(j.Pins[:k:k], j.Pins[k+1:]...)
			return nil
		}
	}
	return refuse(ErrNotFound, "step", "", "%s is not pinned", step)
}

// SetAside puts an alert out of sight with a person's reason, in the place of an
// earlier reason.
func (j *Job) SetAside(a Aside) error {
	if err := j.person(a.By); err != nil {
		return err
	}
	switch {
	case a.Alert == "":
		return refuse(ErrIncomplete, "alert", "give the alert's key", "it does not say which alert")
	case a.Reason == "":
		return refuse(ErrIncomplete, "reason", "say why it need not be looked at", "no reason is given for setting %q aside", a.Alert)
	}
	for k := range j.Asides {
		if j.Asides[k].Alert == a.Alert {
			a.Pos = j.Asides[k].Pos
			j.Asides[k] = a
			return nil
		}
	}
	j.Asides = append(j.Asides, a)
	return nil
}

// BringBack puts an alert that was set aside in sight again.
func (j *Job) BringBack(alert string) error {
	for k := range j.Asides {
		if j.Asides[k].Alert == alert {
			j.Asides = append(j.Asides[:k:k], j.Asides[k+1:]...)
			return nil
		}
	}
	return refuse(ErrNotFound, "alert", "", "%q is not set aside", alert)
}
