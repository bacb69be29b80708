package db

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// Rename gives a thing of the job another name, in the job and in all that is kept beside
// it: attachments, seats, links of trades, what calendars were shown, open trials. What
// has been sent out never changes: a step, trade or place that an issued plan speaks of
// keeps its name, with a scheduler.Refusal that says which issue it is; so does what an
// open trial speaks of in the words of a job file.
//
// Errors are those of scheduler.Job.Rename and of Change.
func (s *Store) Rename(ctx context.Context, id scheduler.ID, e Edit, thing scheduler.Named, to scheduler.ID) (int64, error) {
	return s.edit(ctx, id, e, func(ctx context.Context, tx pgx.Tx, before *state) (draft, error) {
		names, err := before.job.Rename(thing, to)
		if err != nil {
			return draft{}, err
		}
		before.job.Canonical()
		return s.renamed(ctx, tx, id, draft{
			job: before.job, note: fmt.Sprintf("the %s %s is called %s now", thing.Kind, thing.ID, to),
		}, names)
	})
}

// renamed is a draft that changes names beside the job too.
func (s *Store) renamed(ctx context.Context, tx pgx.Tx, id scheduler.ID, d draft, names scheduler.Renamed) (draft, error) {
	if err := notSentOut(ctx, tx, id, names); err != nil {
		return draft{}, err
	}
	d.also = func(ctx context.Context, tx pgx.Tx, revision int64) error {
		if err := s.renameBeside(ctx, tx, id, revision, names); err != nil {
			return fmt.Errorf("rename beside job %q: %w", id, err)
		}
		return nil
	}
	return d, nil
}

// notSentOut refuses names that an issued plan speaks of.
func notSentOut(ctx context.Context, tx pgx.Tx, id scheduler.ID, names scheduler.Renamed) error {
	var letter string
	rows, err := tx.Query(ctx, `
		SELECT letter FROM issued_plan WHERE job = $1 AND EXISTS (
			SELECT FROM jsonb_array_elements(plan -> 'steps') AS step
			WHERE step ->> 'id' = ANY ($2::text[]) OR step -> 'trades' ?| $3::text[] OR step -> 'places' ?| $4::text[])
		ORDER BY length(letter) DESC, letter DESC LIMIT 1`, string(id), namesBefore(names.Steps), namesBefore(names.Trades), namesBefore(names.Places))
	if err != nil {
		return err
	}
	for rows.Next() {
		if err := rows.Scan(&letter); err != nil {
			return err
		}
	}
	if rows.Err() != nil || letter == "" {
		return rows.Err()
	}
	return &scheduler.Refusal{
		Kind: scheduler.ErrImpossible, Field: "name", What: fmt.Sprintf("issue %s was sent out and speaks of it by the name it has", letter),
		Mend: "change its title instead, which is what people read",
	}
}

func namesBefore(names map[scheduler.ID]scheduler.ID) []string {
	before := []string{}
	for _, was := range slices.Sorted(maps.Keys(names)) {
		before = append(before, string(was))
	}
	return before
}

// renameBeside changes what is kept beside a job, and notes in the revision what it was.
func (s *Store) renameBeside(ctx context.Context, tx pgx.Tx, id scheduler.ID, revision int64, names scheduler.Renamed) error {
	if err := renameInTrials(ctx, tx, id, names); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, column := range []struct {
		table, name string
		names       map[scheduler.ID]scheduler.ID
	}{
		{"attachment", "step", names.Steps},
		{"seat", "person", names.People},
		{"trade_link", "trade", names.Trades},
		{"shown_window", "trade", names.Trades},
		{"shown_window", "place", names.Places},
	} {
		if len(column.names) > 0 {
			batch.Queue(fmt.Sprintf(`UPDATE %s AS t SET %[2]s = n.value FROM json_each_text($2::text::json) AS n WHERE t.job = $1 AND t.%[2]s = n.key`,
				column.table, column.name), string(id), asJSON(column.names))
		}
	}
	if len(names.Steps) > 0 {
		batch.Queue(`
			UPDATE shown_window SET steps = (
				SELECT coalesce(array_agg(coalesce($2::text::jsonb ->> s.step, s.step) ORDER BY s.nr), '{}') FROM unnest(steps) WITH ORDINALITY AS s (step, nr))
			WHERE job = $1`, string(id), asJSON(names.Steps))
	}
	batch.Queue(`UPDATE revision SET renames = $3::text::jsonb WHERE job = $1 AND revision = $2`, string(id), revision, asJSON(names))
	return tx.SendBatch(ctx, batch).Close()
}

// asJSON writes names, which cannot fail.
func asJSON(names any) string {
	text, _ := json.Marshal(names)
	return string(text)
}

// renameInTrials changes the open trials that speak of what is renamed.
func renameInTrials(ctx context.Context, tx pgx.Tx, id scheduler.ID, names scheduler.Renamed) error {
	rows, err := tx.Query(ctx, `SELECT `+trialColumns+` FROM trial WHERE job = $1 AND adopted IS NULL AND thrown_at IS NULL`, string(id))
	if err != nil {
		return err
	}
	open, err := pgx.CollectRows(rows, scanTrial)
	if err != nil {
		return err
	}
	for _, t := range open {
		if slices.ContainsFunc(t.Ops, func(o trial.Op) bool { return o.Speaks(names.Thing.ID) }) {
			return &scheduler.Refusal{
				Kind: scheduler.ErrImpossible, Field: "name", What: fmt.Sprintf("trial %d, “%s”, changes something that speaks of it", t.Number, t.Title),
				Mend: "adopt the trial or throw it away first",
			}
		}
		ops := trial.Renamed(t.Ops, names)
		if asJSON(ops) == asJSON(t.Ops) {
			continue
		}
		if _, err := tx.Exec(ctx, `UPDATE trial SET ops = $3::text::jsonb WHERE job = $1 AND number = $2`, string(id), t.Number, asJSON(ops)); err != nil {
			return err
		}
	}
	return nil
}
