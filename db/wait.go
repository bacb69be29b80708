package db

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type waitRow struct {
	ordered
	Name     string           `json:"name" db:"key"`
	Typical  scheduler.ID     `json:"typical,omitempty"`
	FromStep scheduler.ID     `json:"from_step"`
	FromOwn  bool             `json:"from_own"`
	FromEnd  string           `json:"from_end"`
	ToStep   scheduler.ID     `json:"to_step"`
	ToOwn    bool             `json:"to_own"`
	ToEnd    string           `json:"to_end"`
	Least    worktime.Span    `json:"least"`
	Most     *worktime.Span   `json:"most"`
	Reason   scheduler.Reason `json:"reason"`
	Note     string           `json:"note"`
	Source   string           `json:"source"`
}

var waits = content[waitRow]{
	name: "wait", kind: "wait",
	split: func(j *scheduler.Job) []waitRow {
		rows := appendWaits(nil, "", j.Waits, nil)
		for k := range j.Typicals {
			t := &j.Typicals[k]
			rows = appendWaits(rows, t.ID, t.Waits, ownSteps(t))
		}
		return rows
	},
	join: func(j *joiner, rows []waitRow) {
		j.job.Waits = slices.Grow(j.job.Waits, count(rows, func(r *waitRow) bool { return r.Typical == "" }))
		for k := range rows {
			r, all := &rows[k], &j.job.Waits
			if r.Typical != "" {
				all = &j.typicals[r.Typical].Waits
			}
			*all = append(*all, scheduler.Wait{
				From: point(r.FromStep, r.FromEnd), To: point(r.ToStep, r.ToEnd),
				Least: r.Least, Most: r.Most, Reason: r.Reason, Note: r.Note, Source: r.Source,
			})
		}
	},
}

func appendWaits(rows []waitRow, typical scheduler.ID, all []scheduler.Wait, own map[scheduler.ID]bool) []waitRow {
	prefix := ""
	if typical != "" {
		prefix = string(typical) + ": "
	}
	names := namer{}
	rows = slices.Grow(rows, len(all))
	for k := range all {
		w := &all[k]
		rows = append(rows, waitRow{
			Name: names.name(prefix + between(w.From, w.To)), Typical: typical,
			FromStep: w.From.Step, FromOwn: own[w.From.Step], FromEnd: w.From.End.String(),
			ToStep: w.To.Step, ToOwn: own[w.To.Step], ToEnd: w.To.End.String(),
			Least: w.Least, Most: w.Most, Reason: w.Reason, Note: w.Note, Source: w.Source,
		})
	}
	return rows
}

// ownSteps is the names that mean the typical's own steps where its waits use them.
func ownSteps(t *scheduler.Typical) map[scheduler.ID]bool {
	own := make(map[scheduler.ID]bool, len(t.Tasks)+len(t.Holds))
	for k := range t.Tasks {
		own[t.Tasks[k].ID] = true
	}
	for k := range t.Holds {
		own[t.Holds[k].ID] = true
	}
	return own
}

func between(from, to scheduler.Point) string { return from.String() + " to " + to.String() }

func point(step scheduler.ID, end string) scheduler.Point {
	p := scheduler.Point{Step: step}
	if end == scheduler.Finish.String() {
		p.End = scheduler.Finish
	}
	return p
}
