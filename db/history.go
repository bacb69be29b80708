package db

import (
	"context"
	"encoding/json"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// HistoryLine is one thing that one change made, changed or took away.
type HistoryLine struct {
	Revision int64     // the revision that the change made
	At       time.Time // when
	Who      string
	Kind     string // what kind of thing: task, hold, fact, …
	Key      string // which: the name of the thing within the job
	Was      []byte // JSON of the thing before, nil: it was not there
	Is       []byte // JSON of the thing after, nil: it was taken away
}

// historyColumns are those of a line, in its order.
const historyColumns = `revision, at, who, kind, key, was, "is"`

// History is the newest lines of the job's history before a revision, the newest
// change first; with before 0 there is no such limit.
func (s *Store) History(ctx context.Context, id scheduler.ID, before int64, limit int) ([]HistoryLine, error) {
	return rowsOf(ctx, s, id, "history", pgx.RowToStructByPos[HistoryLine], `
		SELECT `+historyColumns+`
		FROM change
		WHERE job = $1 AND ($2::bigint = 0 OR revision < $2)
		ORDER BY revision DESC, line
		LIMIT $3`, string(id), before, limit)
}

// historyRow is a line as it is written.
type historyRow struct {
	Line int             `json:"line"`
	Kind string          `json:"kind"`
	Key  string          `json:"key"`
	Was  json.RawMessage `json:"was,omitempty"`
	Is   json.RawMessage `json:"is,omitempty"`
}

const insertHistory = `
	INSERT INTO change (job, revision, line, at, who, kind, key, was, "is")
	SELECT $1, $3, line, $4, $5, kind, key, was, "is"
	FROM json_populate_recordset(NULL::change, $2::json)`

const insertRevision = `
	INSERT INTO revision (job, revision, at, who, account, link, undoes, delta, note)
	VALUES ($1, $2, $3, $4, nullif($5, $8::uuid), nullif($6, $8::uuid), nullif($7, 0::bigint), $9::text::jsonb, $10)`

// keepHistory adds what a change did, for people to read and for the way back.
func keepHistory(batch *pgx.Batch, next Word, e Edit, now time.Time, after draft, was [][]row, before []decoded, differences []difference) error {
	lines, err := historyOf(next.Job, before, after.tables, differences)
	if err != nil {
		return err
	}
	read, err := json.Marshal(lines)
	if err != nil {
		return err
	}
	deltas := []delta{}
	if next.Revision > 1 {
		if deltas, err = deltasOf(was, differences); err != nil {
			return err
		}
	}
	back, err := json.Marshal(deltas)
	if err != nil {
		return err
	}
	batch.Queue(insertHistory, string(next.Job), string(read), next.Revision, now, e.By.Name)
	batch.Queue(insertRevision, string(next.Job), next.Revision, now, e.By.Name, e.By.Account, e.By.Link, after.undoes, uuid.Nil, string(back), after.note)
	return nil
}

// thing is what a line of history is about.
type thing struct{ kind, key string }

// historyOf makes one line for each thing that differs, in the order of the tables.
// A change of the mere order of things is one line about the job.
func historyOf(job scheduler.ID, before, after []decoded, differences []difference) ([]historyRow, error) {
	touched := map[thing]bool{}
	var things []thing
	for k, d := range differences {
		kind, _ := tables[k].of()
		for _, rows := range [][]row{d.delete, d.update, d.insert} {
			for _, r := range rows {
				if t := (thing{kind, r.thing}); kind != "" && !touched[t] {
					touched[t] = true
					things = append(things, t)
				}
			}
		}
	}
	was, err := written(before, touched)
	if err != nil {
		return nil, err
	}
	is, err := written(after, touched)
	if err != nil {
		return nil, err
	}
	var lines []historyRow
	for _, t := range things {
		if string(was[t]) == string(is[t]) {
			continue // moved only
		}
		lines = append(lines, historyRow{Line: len(lines) + 1, Kind: t.kind, Key: t.key, Was: was[t], Is: is[t]})
	}
	if len(lines) == 0 && len(things) > 0 {
		lines = []historyRow{{Line: 1, Kind: "job", Was: json.RawMessage(`{"order": "as before"}`), Is: json.RawMessage(`{"order": "arranged anew"}`)}}
	}
	for k := range lines {
		if lines[k].Key == "" {
			lines[k].Key = string(job)
		}
	}
	return lines, nil
}
