package jobfile

import "gaugerod/scheduler"

// typical is a typical whose waits stand with the steps that wait.
type typical struct {
	head  scheduler.Typical // everything but steps and waits
	tasks []task
	holds []hold
	waits []scheduler.Wait
}

var typicalTable = table[typical]{
	name: "typical",
	keys: []key[typical]{
		must("title", text, func(t *typical) *string { return &t.head.Title }),
		must("places", names, func(t *typical) *[]scheduler.ID { return &t.head.Places }),
		may("tasks", tasks, func(t *typical) *[]task { return &t.tasks }),
		may("holds", holds, func(t *typical) *[]hold { return &t.holds }),
		may("waits", waits, func(t *typical) *[]scheduler.Wait { return &t.waits }),
	},
}

var typicals = named("typical", &typicalTable, func(t *typical) (*scheduler.ID, *scheduler.Pos) { return &t.head.ID, &t.head.Pos })

// whole is the typical with its steps and waits.
func (t *typical) whole() scheduler.Typical {
	w := t.head
	for k := range t.tasks {
		w.Tasks = append(w.Tasks, t.tasks[k].Task)
		w.Waits = append(w.Waits, into(t.tasks[k].ID, t.tasks[k].after)...)
	}
	for k := range t.holds {
		w.Holds = append(w.Holds, t.holds[k].Hold)
		w.Waits = append(w.Waits, into(t.holds[k].ID, t.holds[k].after)...)
	}
	w.Waits = append(w.Waits, t.waits...)
	return w
}

func newTypical(whole *scheduler.Typical) typical {
	t := typical{head: *whole}
	apart := newSorter(whole.Waits)
	for k := range whole.Tasks {
		t.tasks = append(t.tasks, task{whole.Tasks[k], apart.take(whole.Tasks[k].ID)})
	}
	for k := range whole.Holds {
		t.holds = append(t.holds, hold{whole.Holds[k], apart.take(whole.Holds[k].ID)})
	}
	t.waits = apart.rest()
	return t
}
