package jobfile

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// endKey is "start" or "finish": one end of the step that it names.
func endKey[T any](end scheduler.End, at func(*T) *scheduler.Point) key[T] {
	return key[T]{
		name: end.String(),
		read: func(r *reader, s spot, n *yaml.Node, into *T) bool {
			p := at(into)
			p.End = end
			return name.read(r, s, n, &p.Step)
		},
		write: func(from *T) *yaml.Node {
			if p := at(from); p.End == end {
				return name.write(p.Step)
			}
			return nil
		},
	}
}

// ends are the keys of which one says what a point is.
var ends = []string{"finish", "start"}

func itself(p *scheduler.Point) *scheduler.Point { return p }

var pointTable = table[scheduler.Point]{
	name:  "point",
	oneOf: ends,
	keys:  []key[scheduler.Point]{endKey(scheduler.Finish, itself), endKey(scheduler.Start, itself)},
}

var point = mapping(&pointTable, func(scheduler.Point) bool { return false })

func waitFrom(w *scheduler.Wait) *scheduler.Point { return &w.From }
func waitTo(w *scheduler.Wait) *scheduler.Point   { return &w.To }
func waitPos(w *scheduler.Wait) *scheduler.Pos    { return &w.Pos }

// waitTerms are the keys that a wait has wherever it stands.
var waitTerms = []key[scheduler.Wait]{
	may("least", span, func(w *scheduler.Wait) *worktime.Span { return &w.Least }),
	may("most", optional(span), func(w *scheduler.Wait) **worktime.Span { return &w.Most }),
	may("reason", textCodec[scheduler.Reason]("a reason"), func(w *scheduler.Wait) *scheduler.Reason { return &w.Reason }),
	may("note", text, func(w *scheduler.Wait) *string { return &w.Note }),
	may("source", text, func(w *scheduler.Wait) *string { return &w.Source }),
}

// afterTable is a wait under "after" of a step: into its start.
var afterTable = table[scheduler.Wait]{
	name:  "after",
	oneOf: ends,
	keys: slices.Concat([]key[scheduler.Wait]{
		endKey(scheduler.Finish, waitFrom),
		endKey(scheduler.Start, waitFrom),
	}, waitTerms),
}

var after = listed("wait", &afterTable, waitPos)

// waitTable is a wait that stands apart, between any two ends.
var waitTable = table[scheduler.Wait]{
	name: "wait",
	keys: slices.Concat([]key[scheduler.Wait]{
		must("from", point, waitFrom),
		must("to", point, waitTo),
	}, waitTerms),
}

var waits = listed("wait", &waitTable, waitPos)

var waiverTable = table[scheduler.Waiver]{
	name: "waiver",
	keys: []key[scheduler.Waiver]{
		must("from", point, func(w *scheduler.Waiver) *scheduler.Point { return &w.From }),
		must("to", point, func(w *scheduler.Waiver) *scheduler.Point { return &w.To }),
		must("by", name, func(w *scheduler.Waiver) *scheduler.ID { return &w.By }),
		must("on", date, func(w *scheduler.Waiver) *worktime.Date { return &w.On }),
		must("reason", text, func(w *scheduler.Waiver) *string { return &w.Reason }),
	},
}

var waivers = listed("waiver", &waiverTable, func(w *scheduler.Waiver) *scheduler.Pos { return &w.Pos })
