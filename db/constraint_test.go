package db_test

import (
	"errors"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

// What the schema itself refuses, whoever writes: each by the name of its
// constraint.
func TestTheSchemaRefuses(t *testing.T) {
	t.Parallel()
	store, conn := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	for constraint, sql := range map[string]string{
		"short_name_spelt":           `UPDATE trade SET id = 'Two Words' WHERE id = 'cladding'`,
		"step_ref_spelt":             `UPDATE fact SET step = 'a.b.c' WHERE step = 'frame'`,
		"span_written":               `UPDATE task SET takes = 'a while'`,
		"minute_of_day_on_the_clock": `UPDATE fact SET started_minute = 1441 WHERE step = 'frame'`,
		"step_end_known":             `UPDATE wait SET to_end = 'middle'`,
		"cautions_known":             `UPDATE task SET cautions = '{carelessness}'`,
		"job_revision_counts":        `UPDATE job SET revision = -1`,
		"job_period_forward":         `UPDATE job_period SET to_minute = from_minute`,
		"closure_named":              `UPDATE closure SET name = 'holiday'`,
		"trade_crews_counted":        `UPDATE trade SET crews = -1`,
		"person_role_known":          `UPDATE person SET role = 'king'`,
		"person_of_trade":            `UPDATE person SET trade = 'nobody' WHERE id = 'setter'`,
		"trade_is_party":             `DELETE FROM party WHERE id = 'cladding'`,
		"place_within_place":         `UPDATE place SET within = 'nowhere' WHERE id = 'garden'`,
		"place_not_within_itself":    `UPDATE place SET within = id WHERE id = 'garden'`,
		"task_is_step":               `DELETE FROM step_name WHERE name = 'openings.pan'`,
		"task_named":                 `UPDATE task SET typical = NULL WHERE step = 'openings.pan'`,
		"task_weather_whole":         `UPDATE task SET dry = NULL WHERE step = 'frame'`,
		"task_place_known":           `UPDATE task_place SET place = 'nowhere'`,
		"hold_kind_known":            `UPDATE hold SET kind = 'barrier'`,
		"hold_measure_only":          `UPDATE hold SET nominal = 5 WHERE kind = 'decision'`,
		"hold_by_person":             `UPDATE hold SET by = 'framing'`,
		"stage_not_delivery":         `UPDATE stage SET id = 'delivery' WHERE id = 'making'`,
		"stage_is_step":              `UPDATE stage SET id = 'unmaking' WHERE id = 'making'`,
		"wait_from_step":             `UPDATE wait SET from_own = false WHERE from_step = 'pan'`,
		"wait_named":                 `UPDATE wait SET name = 'some wait' WHERE name LIKE 'start of frame%'`,
		"wait_reason_known":          `UPDATE wait SET reason = 'habit'`,
		"layer_by_step":              `UPDATE layer SET by_step = 'nobody'`,
		"layer_seen_hold":            `UPDATE layer_seen SET hold = 'nothing'`,
		"drawing_sent_in_a_revision": `UPDATE drawing SET on_day = '2026-03-01' WHERE id = 'a-31'`,
		"drawing_step_step":          `UPDATE drawing_step SET step = 'nothing'`,
		"drawing_place_place":        `UPDATE drawing_place SET place = 'nowhere'`,
		"occupation_of_one":          `UPDATE occupation SET gear = 'lift', place = 'house'`,
		"occupation_admits_step":     `UPDATE occupation_admits SET step = 'nothing'`,
		"due_of_step":                `UPDATE due SET step = 'nothing'`,
		"fact_of_step":               `UPDATE fact SET step = 'nothing' WHERE step = 'frame'`,
		"fact_done_day":              `UPDATE fact SET done_minute = 5 WHERE step = 'frame'`,
		"waiver_reasoned":            `UPDATE waiver SET reason = ''`,
		"promise_named":              `UPDATE promise SET place = 'house' WHERE place = 'wall-north'`,
		"promise_forward":            `UPDATE promise SET until_day = from_day - 1`,
		"promise_made":               `UPDATE promise SET letter = NULL WHERE confirmed_day IS NULL`,
		"promise_confirmed_by":       `UPDATE promise SET by = NULL`,
		"promise_of_issue":           `UPDATE promise SET letter = 'Q'`,
		"promise_step_of":            `UPDATE promise_step SET promise = 'nothing'`,
		"answer_forward":             `UPDATE answer SET to_day = from_day - 1`,
		"answer_named":               `UPDATE answer SET name = 'some answer'`,
		"pin_one_day":                `UPDATE pin SET on_day = NULL, not_before_day = NULL`,
		"hash_whole":                 `SELECT 'too short'::bytea::hash`,
		"account_named":              `INSERT INTO account (id, name, made_at) VALUES (gen_random_uuid(), '', now())`,
		"account_email_spelt":        `INSERT INTO account (id, name, email, made_at) VALUES (gen_random_uuid(), 'Kim', 'Kim@people.example', now())`,
		"seat_role_known":            `INSERT INTO seat (account, job, role) VALUES (gen_random_uuid(), 'garden-studio', 'trade')`,
		"seat_account_fkey":          `INSERT INTO seat (account, job, role) VALUES (gen_random_uuid(), 'garden-studio', 'reader')`,
		"session_of_one":             `INSERT INTO session (token, id, device, made_at, seen_at, expires_at) VALUES (sha256('x'), gen_random_uuid(), '', now(), now(), now())`,
		"sign_in_link_handed_known":  `INSERT INTO sign_in_link (secret, account, handed, made_at, expires_at) VALUES (sha256('x'), gen_random_uuid(), 'shouted', now(), now())`,
		"trade_link_lasts":           `INSERT INTO trade_link (id, job, trade, label, secret, calendar, made_by, made_at, expires_at) VALUES (gen_random_uuid(), 'garden-studio', 'cladding', 'x', sha256('x'), sha256('y'), 'x', now(), now())`,
		"change_by_somebody":         `UPDATE change SET who = ''`,
		"change_of_something":        `UPDATE change SET was = NULL, "is" = NULL`,
	} {
		_, err := conn.Exec(t.Context(), sql) // its own transaction, so deferred ones are checked too
		var refused *pgconn.PgError
		if !errors.As(err, &refused) || refused.ConstraintName != constraint {
			t.Errorf("%s: got %v", constraint, err)
		}
	}
}

// A job that is sound by the rules and breaks the schema means that the two differ:
// the error names the constraint.
func TestRefusedByTheSchemaAlone(t *testing.T) {
	t.Parallel()
	store, conn := at(t, dbtest.Address(t))
	if _, err := conn.Exec(t.Context(), `ALTER TABLE task ADD CONSTRAINT task_short CHECK (length(title) < 5)`); err != nil {
		t.Fatal(err)
	}
	_, err := store.Put(t.Context(), everyFeature(t), db.By("ida"))
	var refused *db.RefusedError
	if !errors.As(err, &refused) || refused.Constraint != "task_short" || refused.Table != "task" {
		t.Errorf("got %v, want a RefusedError of task_short", err)
	}
	if _, _, err := store.Job(t.Context(), "garden-studio"); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("something of it is there (%v)", err)
	}
	// And a foreign key, found at the end of the transaction only.
	if _, err := conn.Exec(t.Context(), `ALTER TABLE task DROP CONSTRAINT task_short;
		CREATE TABLE known (job short_name, place short_name, PRIMARY KEY (job, place));
		ALTER TABLE place ADD CONSTRAINT place_known FOREIGN KEY (job, id) REFERENCES known DEFERRABLE INITIALLY DEFERRED`); err != nil {
		t.Fatal(err)
	}
	_, err = store.Put(t.Context(), everyFeature(t), db.By("ida"))
	if !errors.As(err, &refused) || refused.Constraint != "place_known" {
		t.Errorf("got %v, want a RefusedError of place_known", err)
	}
}
