package scheduler

import "gaugerod/scheduler/worktime"

// SetTakes changes how long a step takes: a task, a hold, an order's stage or
// delivery, or every instance of a typical's step ("openings.pan").
func (j *Job) SetTakes(step ID, takes worktime.Span) error {
	if whole, local, ok := cutLast(step); ok {
		for k := range j.Typicals {
			if t := &j.Typicals[k]; t.ID == whole {
				if o, ok := ownStep(t.Tasks, t.Holds, local); ok {
					o.setTakes(j, takes)
					return nil
				}
			}
		}
	}
	o, err := j.origin(step)
	if err != nil {
		return err
	}
	if o.typical != nil {
		_, local, _ := cutLast(step)
		return refuse(ErrWrongKind, "step", "change it for all: "+string(o.typical.ID+"."+local),
			"%s comes from the typical %s, which says how long it takes", step, o.typical.ID)
	}
	o.setTakes(j, takes)
	return nil
}

// setTakes says anew how long something takes. What was thought of as its best or worst,
// and no longer is, goes.
func (o origin) setTakes(j *Job, takes worktime.Span) {
	switch {
	case o.stage != nil:
		o.stage.Takes, o.stage.Spread = takes, o.stage.Spread.around(j, takes)
	case o.order != nil:
		o.order.Unload = takes
	case o.hold != nil:
		o.hold.Takes = takes
	default:
		o.task.Takes, o.task.Spread = takes, o.task.Spread.around(j, takes)
	}
}

// SetCrews changes how many crews a trade can send at once.
func (j *Job) SetCrews(trade ID, crews int) error {
	t, err := j.trade(trade)
	if err != nil {
		return err
	}
	if crews < 1 {
		return refuse(ErrImpossible, "crews", "give 1 or more", "a trade with %d crews comes to nothing", crews)
	}
	t.Crews = crews
	return nil
}

// SetOff changes the days on which a trade does not come.
func (j *Job) SetOff(trade ID, off []Closure) error {
	t, err := j.trade(trade)
	if err != nil {
		return err
	}
	for _, c := range off {
		if c.To < c.From {
			return refuse(ErrImpossible, "off", "put the earlier day first", "days off from %s to %s end before they begin", c.From, c.To)
		}
	}
	t.Off = off
	return nil
}

// AddOff adds days on which a trade does not come, both included, to those it has.
func (j *Job) AddOff(trade ID, off Closure) error {
	t, err := j.trade(trade)
	switch {
	case err != nil:
		return err
	case off.To < off.From:
		return refuse(ErrImpossible, "to", "put the earlier day first", "days off from %s to %s end before they begin", off.From, off.To)
	case off.To-off.From >= longestAbsence:
		return refuse(ErrImpossible, "to", "give a nearer day", "from %s to %s is longer than a year", off.From, off.To)
	case t.isOff(off.From, off.To):
		return refuse(ErrAlready, "from", "", "%s is off from %s to %s already", trade, off.From, off.To)
	}
	t.Off = append(t.Off, off)
	return nil
}

func (j *Job) trade(id ID) (*Trade, error) {
	for k := range j.Trades {
		if j.Trades[k].ID == id {
			return &j.Trades[k], nil
		}
	}
	return nil, refuse(ErrNotFound, "trade", "", "no trade is called %q", id)
}

// SetDue sets a due day, new or in the place of the one of that ID.
func (j *Job) SetDue(d Due) error {
	if d.ID == "" {
		return refuse(ErrIncomplete, "id", "give it a short name", "the due day has no name")
	}
	if _, err := j.origin(d.Step); err != nil {
		return err
	}
	for k := range j.Dues {
		if j.Dues[k].ID == d.ID {
			d.Pos = j.Dues[k].Pos
			j.Dues[k] = d
			return nil
		}
	}
	j.Dues = append(j.Dues, d)
	return nil
}

// DropDue takes a due day away.
func (j *Job) DropDue(id ID) error {
	for k := range j.Dues {
		if j.Dues[k].ID == id {
			j.Dues = append(j.Dues[:k:k], j.Dues[k+1:]...)
			return nil
		}
	}
	return refuse(ErrNotFound, "due", "", "no due day is called %q", id)
}

// How far from the job's start a plan may be asked for, in years. Further away is a
// slip of the pen, and calendars up to there would cost more than they are worth.
const (
	yearsBefore = 20
	yearsAfter  = 50
)

// PlanFrom is a Refusal when nobody can mean to plan the job as of that day.
func (j *Job) PlanFrom(day worktime.Date) error {
	const year = 366
	if day < j.Start-yearsBefore*year || day > j.Start+yearsAfter*year {
		return refuse(ErrImpossible, "as_of", "take a day nearer to the job", "%s is too far from the job's start on %s", day, j.Start)
	}
	return nil
}

// SetAsOf sets the day the plan is computed from; nil: today, as each plan is made.
func (j *Job) SetAsOf(day *worktime.Date) error {
	if day != nil {
		if err := j.PlanFrom(*day); err != nil {
			return err
		}
		for _, f := range j.Facts {
			if err := f.NotAfter(*day); err != nil {
				latest, _ := f.Latest()
				return refuse(ErrImpossible, "as_of", "take a later day, or correct that record first",
					"as of %s lies before what is recorded of %s on %s", *day, f.Step, latest)
			}
		}
	}
	j.AsOf = day
	return nil
}
