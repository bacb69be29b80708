package jobfile

import (
	"slices"

	"gaugerod/scheduler"
)

// task is a task with the waits into its start.
type task struct {
	scheduler.Task
	after []scheduler.Wait
}

func taskWork(t *task) *scheduler.Work { return &t.Work }

var taskTable = table[task]{
	name:    "task",
	fresh:   task{Task: scheduler.Task{Work: scheduler.Work{Crews: 1}}},
	notBoth: eitherNumber,
	keys: slices.Concat(
		[]key[task]{must("title", text, func(t *task) *string { return &t.Title })},
		workers(taskWork),
		[]key[task]{must("takes", span, takes(taskWork))},
		spread(func(t *task) *scheduler.Spread { return &t.Spread }),
		conditions(taskWork),
		[]key[task]{
			may("after", after, func(t *task) *[]scheduler.Wait { return &t.after }),
			may("note", text, func(t *task) *string { return &t.Note }),
		},
	),
}

var tasks = named("task", &taskTable, func(t *task) (*scheduler.ID, *scheduler.Pos) { return &t.ID, &t.Pos })
