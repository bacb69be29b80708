package scheduler

import "slices"

// Canonical puts the job in the one form in which it is read, written and stored,
// so that two jobs that say the same compare equal: counts that were left out are
// 1, and waits stand in the order described at CanonicalWaits. Nothing of what the
// job says changes.
func (j *Job) Canonical() {
	for k := range j.Trades {
		j.Trades[k].Crews = orOne(j.Trades[k].Crews)
	}
	for k := range j.Gear {
		j.Gear[k].Count = orOne(j.Gear[k].Count)
	}
	canonicalWork(j.Tasks, j.Holds)
	j.CanonicalWaits()
	for k := range j.Typicals {
		canonicalWork(j.Typicals[k].Tasks, j.Typicals[k].Holds)
	}
}

// CanonicalWaits orders the waits of the job and of its typicals: first those into
// the start of a task, in the order of the tasks; then into the start of a hold and
// of an order's first step, in the order of these; then all others. Waits of one
// step, and the others among themselves, keep their order. It is the order in which
// a job file holds them: under "after" of each step, then under "waits".
func (j *Job) CanonicalWaits() {
	rank := make(map[ID]int, len(j.Tasks)+len(j.Holds)+len(j.Orders))
	rankSteps(rank, j.Tasks, j.Holds)
	for k := range j.Orders {
		addRank(rank, j.Orders[k].FirstStep())
	}
	sortWaits(j.Waits, rank)
	for k := range j.Typicals {
		t := &j.Typicals[k]
		local := make(map[ID]int, len(t.Tasks)+len(t.Holds))
		rankSteps(local, t.Tasks, t.Holds)
		sortWaits(t.Waits, local)
	}
}

func rankSteps(rank map[ID]int, tasks []Task, holds []Hold) {
	for k := range tasks {
		addRank(rank, tasks[k].ID)
	}
	for k := range holds {
		addRank(rank, holds[k].ID)
	}
}

func addRank(rank map[ID]int, id ID) {
	if _, ok := rank[id]; !ok {
		rank[id] = len(rank)
	}
}

func sortWaits(waits []Wait, rank map[ID]int) {
	last := len(rank)
	of := func(w *Wait) int {
		if r, ok := rank[w.To.Step]; ok && w.To.End == Start {
			return r
		}
		return last
	}
	slices.SortStableFunc(waits, func(a, b Wait) int { return of(&a) - of(&b) })
}

func canonicalWork(tasks []Task, holds []Hold) {
	for k := range tasks {
		tasks[k].Crews = orOne(tasks[k].Crews)
	}
	for k := range holds {
		holds[k].Crews = orOne(holds[k].Crews)
	}
}

func orOne(n int) int {
	if n == 0 {
		return 1
	}
	return n
}
