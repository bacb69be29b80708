package db

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// Account is somebody who may sign in.
type Account struct {
	ID          uuid.UUID
	Name        string
	Email       string // in lower case, empty: none is known
	Proven      bool   // a link mailed to that address has been used
	Claimed     bool   // they wrote that address down themselves
	HasPassword bool
	Steward     bool // the machine's own owner: owner of every job, may make jobs
}

const accountColumns = `id, name, coalesce(email, ''), proven_at IS NOT NULL, claimed, password IS NOT NULL, steward`

// ErrEmailTaken says that another account has that address.
var ErrEmailTaken = errors.New("another account has that address")

func accountNotFound() error { return fmt.Errorf("account: %w", scheduler.ErrNotFound) }

// oneAccount reads the account that a statement finds; scheduler.ErrNotFound when
// it finds none.
func oneAccount(rows pgx.Rows, err error) (Account, error) {
	if err != nil {
		return Account{}, explain(err)
	}
	a, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByPos[Account])
	if errors.Is(err, pgx.ErrNoRows) {
		return Account{}, accountNotFound()
	}
	return a, explain(err)
}

// Steward is the account of the machine's own owner, made under the given name
// when there is none. Any number may ask at once: they get the same one.
func (s *Store) Steward(ctx context.Context, name string) (a Account, err error) {
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended('gaugerod steward', 0))`); err != nil {
			return err
		}
		rows, err := tx.Query(ctx, `SELECT `+accountColumns+` FROM account WHERE steward AND closed_at IS NULL ORDER BY made_at, id LIMIT 1`)
		if a, err = oneAccount(rows, err); !errors.Is(err, scheduler.ErrNotFound) {
			return err
		}
		a = Account{ID: uuid.New(), Name: name, Steward: true}
		_, err = tx.Exec(ctx, `INSERT INTO account (id, name, steward, made_at) VALUES ($1, $2, true, $3)`, a.ID, name, s.now().UTC())
		return err
	})
	return a, explain(err)
}

// Account is the account of an ID that is not closed; scheduler.ErrNotFound otherwise.
func (s *Store) Account(ctx context.Context, id uuid.UUID) (Account, error) {
	return oneAccount(s.pool.Query(ctx, `SELECT `+accountColumns+` FROM account WHERE id = $1 AND closed_at IS NULL`, id))
}

// AccountByEmail is the account with an address, in lower case, and what is kept of
// its password, empty where it has none; scheduler.ErrNotFound when there is none.
func (s *Store) AccountByEmail(ctx context.Context, email string) (a Account, password string, err error) {
	a, err = oneAccount(s.pool.Query(ctx, `SELECT `+accountColumns+` FROM account WHERE email = $1 AND closed_at IS NULL`, email))
	if err != nil || !a.HasPassword {
		return a, "", err
	}
	password, err = s.Password(ctx, a.ID)
	return a, password, err
}

// Password is what is kept of an account's password, empty where it has none.
func (s *Store) Password(ctx context.Context, id uuid.UUID) (password string, err error) {
	err = s.pool.QueryRow(ctx, `SELECT coalesce(password, '') FROM account WHERE id = $1 AND closed_at IS NULL`, id).Scan(&password)
	if errors.Is(err, pgx.ErrNoRows) {
		return "", accountNotFound()
	}
	return password, explain(err)
}

// DescribeAccount sets the name and the address of an account, which may be empty, by its
// own word. Another address is claimed and not proven. ErrEmailTaken when another account has it.
func (s *Store) DescribeAccount(ctx context.Context, id uuid.UUID, name, email string) error {
	err := s.touchOne(ctx, `UPDATE account SET name = $2, email = nullif($3, ''),
		proven_at = CASE WHEN email = $3 THEN proven_at END,
		claimed = CASE WHEN email = $3 THEN claimed ELSE $3 <> '' END
		WHERE id = $1 AND closed_at IS NULL`, id, name, email)
	return takenOr(err)
}

// SetPassword keeps a password, as argon2id, and ends the account's sessions but
// the one it is set in, and its links: who knew the old one is out.
func (s *Store) SetPassword(ctx context.Context, id uuid.UUID, password string, in uuid.UUID) error {
	now := s.now().UTC()
	batch := &pgx.Batch{}
	batch.Queue(`UPDATE account SET password = $2 WHERE id = $1 AND closed_at IS NULL`, id, password)
	batch.Queue(endSessions+` AND id <> $3`, id, now, in)
	batch.Queue(lapseLinks, id, now)
	return s.inOne(ctx, batch)
}

// CloseAccount lets an account in no more, from this moment on. Its name stays in
// the history; its address is free again. The steward's cannot be closed.
func (s *Store) CloseAccount(ctx context.Context, id uuid.UUID) error {
	now := s.now().UTC()
	batch := &pgx.Batch{}
	batch.Queue(`UPDATE account SET closed_at = $2, email = NULL, password = NULL WHERE id = $1 AND NOT steward AND closed_at IS NULL`, id, now)
	batch.Queue(`DELETE FROM seat WHERE account = $1 AND EXISTS (SELECT FROM account WHERE id = $1 AND closed_at IS NOT NULL)`, id)
	batch.Queue(endSessions+` AND EXISTS (SELECT FROM account WHERE id = $1 AND closed_at IS NOT NULL)`, id, now)
	return s.inOne(ctx, batch)
}

// What ends with an account's ways in: $1 is the account, $2 now.
const (
	endSessions = `UPDATE session SET ended_at = $2 WHERE account = $1 AND ended_at IS NULL`
	lapseLinks  = `UPDATE sign_in_link SET spent_at = $2 WHERE account = $1 AND spent_at IS NULL`
)

// inOne sends statements in one transaction. The first must meet a row;
// scheduler.ErrNotFound otherwise.
func (s *Store) inOne(ctx context.Context, batch *pgx.Batch) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		results := tx.SendBatch(ctx, batch)
		tag, err := results.Exec()
		if err == nil && tag.RowsAffected() == 0 {
			err = fmt.Errorf("account: %w", scheduler.ErrNotFound)
		}
		return errors.Join(err, results.Close())
	})
	return explain(err)
}

// touchOne is a statement that must meet a row; scheduler.ErrNotFound otherwise.
func (s *Store) touchOne(ctx context.Context, sql string, arguments ...any) error {
	tag, err := s.pool.Exec(ctx, sql, arguments...)
	if err == nil && tag.RowsAffected() == 0 {
		err = fmt.Errorf("what should be changed: %w", scheduler.ErrNotFound)
	}
	return explain(err)
}

func takenOr(err error) error {
	if refused, ok := errors.AsType[*RefusedError](err); ok && refused.Constraint == "account_email_once" {
		return ErrEmailTaken
	}
	return err
}

// AccountLine is an account in the list of all.
type AccountLine struct {
	Account
	Made time.Time
	Jobs int // how many it has a seat on
}

// Accounts lists the accounts that are not closed.
func (s *Store) Accounts(ctx context.Context) ([]AccountLine, error) {
	rows, err := s.pool.Query(ctx, `SELECT `+accountColumns+`, made_at, (SELECT count(*) FROM seat WHERE account = account.id)
		FROM account WHERE closed_at IS NULL ORDER BY made_at, id`)
	if err != nil {
		return nil, explain(err)
	}
	lines, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (l AccountLine, err error) {
		err = row.Scan(&l.ID, &l.Name, &l.Email, &l.Proven, &l.Claimed, &l.HasPassword, &l.Steward, &l.Made, &l.Jobs)
		return l, err
	})
	return lines, explain(err)
}
