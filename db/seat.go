package db

import (
	"context"
	"errors"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// Seat is what an account is on a job.
type Seat struct {
	Job    scheduler.ID
	Role   scheduler.Role
	Person scheduler.ID // whom of the job it acts as, empty: nobody; it may have left the job
}

// Sitter is an account with its seat on one job.
type Sitter struct {
	Account
	Seat
}

// SeatRoles are the roles that a seat may have. The others are of those who have no
// account: a trade has links, and an inspector is rung up.
var SeatRoles = []scheduler.Role{scheduler.Owner, scheduler.Designer, scheduler.SiteLead, scheduler.Reader}

// ErrLastOwner says that a job would be left without an owner.
var ErrLastOwner = errors.New("the job would be left without an owner")

// Sitters lists who has a seat on a job, owners first.
func (s *Store) Sitters(ctx context.Context, job scheduler.ID) ([]Sitter, error) {
	rows, err := s.pool.Query(ctx, `
		SELECT `+accountColumns+`, seat.job, seat.role, coalesce(seat.person, '')
		FROM seat JOIN account ON account.id = seat.account
		WHERE seat.job = $1 AND account.closed_at IS NULL
		ORDER BY array_position(ARRAY['owner', 'designer', 'site lead', 'reader'], seat.role), account.name, account.id`, string(job))
	if err != nil {
		return nil, explain(err)
	}
	sitters, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p Sitter, err error) {
		err = row.Scan(&p.ID, &p.Name, &p.Email, &p.Proven, &p.Claimed, &p.HasPassword, &p.Steward, &p.Job, &p.Role, &p.Person)
		return p, err
	})
	return sitters, explain(err)
}

// SeatsOf lists an account's seats by job.
func (s *Store) SeatsOf(ctx context.Context, account uuid.UUID) ([]Seat, error) {
	rows, err := s.pool.Query(ctx, `SELECT job, role, coalesce(person, '') FROM seat WHERE account = $1 ORDER BY job`, account)
	if err != nil {
		return nil, explain(err)
	}
	seats, err := pgx.CollectRows(rows, pgx.RowToStructByPos[Seat])
	return seats, explain(err)
}

// AddAccount makes an account with its first seat. ErrEmailTaken when another
// account has the address, scheduler.ErrNotFound when there is no such job.
func (s *Store) AddAccount(ctx context.Context, name, email string, seat Seat) (uuid.UUID, error) {
	id := uuid.New()
	batch := &pgx.Batch{}
	batch.Queue(`INSERT INTO account (id, name, email, made_at) VALUES ($1, $2, nullif($3, ''), $4)`, id, name, email, s.now().UTC())
	batch.Queue(giveSeat, id, string(seat.Job), string(seat.Role), string(seat.Person))
	if err := s.inOne(ctx, batch); err != nil {
		return uuid.UUID{}, seatless(seat.Job, takenOr(err))
	}
	return id, nil
}

const giveSeat = `
	INSERT INTO seat (account, job, role, person) VALUES ($1, $2, $3, nullif($4, ''))
	ON CONFLICT (account, job) DO UPDATE SET role = excluded.role, person = excluded.person`

// Seating says how a seat is given.
type Seating struct {
	KeepOwner bool // ErrLastOwner to leave the job without one
	Anew      bool // what has let the account in so far ends: sessions, links, password
}

// SetSeat gives an account a seat, or changes the one it has.
func (s *Store) SetSeat(ctx context.Context, account uuid.UUID, seat Seat, how Seating) error {
	err := s.amongSeats(ctx, seat.Job, how.KeepOwner, func(tx pgx.Tx) error {
		batch := &pgx.Batch{}
		batch.Queue(giveSeat, account, string(seat.Job), string(seat.Role), string(seat.Person))
		if how.Anew {
			now := s.now().UTC()
			batch.Queue(`UPDATE account SET password = NULL WHERE id = $1`, account)
			batch.Queue(endSessions, account, now)
			batch.Queue(lapseLinks, account, now)
		}
		return tx.SendBatch(ctx, batch).Close()
	})
	return seatless(seat.Job, err)
}

// DropSeat takes an account's seat on a job away; scheduler.ErrNotFound when it has
// none. With keepOwner it is ErrLastOwner to leave the job without one.
func (s *Store) DropSeat(ctx context.Context, account uuid.UUID, job scheduler.ID, keepOwner bool) error {
	return s.amongSeats(ctx, job, keepOwner, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `DELETE FROM seat WHERE account = $1 AND job = $2`, account, string(job))
		if err == nil && tag.RowsAffected() == 0 {
			return accountNotFound()
		}
		return err
	})
}

// amongSeats changes the seats of a job, one who does so after the other, so that
// two owners cannot put each other out at once.
func (s *Store) amongSeats(ctx context.Context, job scheduler.ID, keepOwner bool, change func(pgx.Tx) error) error {
	err := pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended('gaugerod seats ' || $1, 0))`, string(job)); err != nil {
			return err
		}
		owners := func() (n int, err error) {
			err = tx.QueryRow(ctx, `SELECT count(*) FROM seat JOIN account ON account.id = seat.account
				WHERE seat.job = $1 AND seat.role = 'owner' AND account.closed_at IS NULL`, string(job)).Scan(&n)
			return n, err
		}
		was, err := owners()
		if err != nil {
			return err
		}
		if err := change(tx); err != nil {
			return err
		}
		is, err := owners()
		if err == nil && keepOwner && was > 0 && is == 0 {
			return ErrLastOwner
		}
		return err
	})
	return explain(err)
}

// seatless says that there is no such job, or no such account, to have a seat.
func seatless(job scheduler.ID, err error) error {
	refused, ok := errors.AsType[*RefusedError](err)
	switch {
	case ok && refused.Constraint == "seat_job_fkey":
		return notFound(job)
	case ok && refused.Constraint == "seat_account_fkey":
		return accountNotFound()
	}
	return err
}

// JobsOf lists the jobs that an account has a seat on, by ID.
func (s *Store) JobsOf(ctx context.Context, account uuid.UUID) ([]JobHead, error) {
	rows, err := s.pool.Query(ctx, `SELECT id, title, revision, changed_at FROM job JOIN seat ON seat.job = job.id
		WHERE seat.account = $1 ORDER BY id`, account)
	if err != nil {
		return nil, explain(err)
	}
	heads, err := pgx.CollectRows(rows, pgx.RowToStructByPos[JobHead])
	return heads, explain(err)
}
