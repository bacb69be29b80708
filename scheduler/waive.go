package scheduler

// Waive lifts a wait with a person's reason. It stays visible. That the wait
// exists once the job is expanded is checked with the whole job.
func (j *Job) Waive(w Waiver) error {
	if err := j.person(w.By); err != nil {
		return err
	}
	if w.Reason == "" {
		return refuse(ErrIncomplete, "reason", "say why it may go without", "the waiver gives no reason")
	}
	if j.findWaiver(w.From, w.To) >= 0 {
		return refuse(ErrAlready, "", "", "the wait from the %s to the %s is waived already", w.From, w.To)
	}
	j.Waivers = append(j.Waivers, w)
	return nil
}

// Unwaive puts a lifted wait back in force.
func (j *Job) Unwaive(from, to Point) error {
	k := j.findWaiver(from, to)
	if k < 0 {
		return refuse(ErrNotFound, "", "", "the wait from the %s to the %s is not waived", from, to)
	}
	j.Waivers = append(j.Waivers[:k:k], j.Waivers[k+1:]...)
	return nil
}

func (j *Job) findWaiver(from, to Point) int {
	for k := range j.Waivers {
		if j.Waivers[k].From == from && j.Waivers[k].To == to {
			return k
		}
	}
	return -1
}
