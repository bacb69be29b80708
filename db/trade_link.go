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

// TradeLink is a trade's private way to its own windows.
type TradeLink struct {
	ID         uuid.UUID
	Job, Trade scheduler.ID
	Label      string // whom it was given to: the name in the history
	By         string // who made it
	Made       time.Time
	Until      time.Time
	Revoked    *time.Time
	Used       *time.Time // give or take some minutes, nil: never
}

const tradeLinkColumns = `id, job, trade, label, made_by, made_at, expires_at, revoked_at, used_at`

// AddTradeLink keeps a new link for as long as life, with its two secrets. Where there is
// one with that secret it gives that, as it stands. Whether the job has that trade is for
// who calls it to ask.
func (s *Store) AddTradeLink(ctx context.Context, l TradeLink, secret, calendar Hash, life time.Duration) (TradeLink, error) {
	now := s.now().UTC()
	l.ID, l.Made, l.Until = uuid.New(), now, now.Add(life)
	tag, err := s.pool.Exec(ctx, `
		INSERT INTO trade_link (id, job, trade, label, secret, calendar, made_by, made_at, expires_at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		ON CONFLICT ON CONSTRAINT trade_link_secret_once DO NOTHING`,
		l.ID, string(l.Job), string(l.Trade), l.Label, secret.bytes(), calendar.bytes(), l.By, l.Made, l.Until)
	err = explain(err)
	if refused, ok := errors.AsType[*RefusedError](err); ok && refused.Constraint == "trade_link_job_fkey" {
		err = notFound(l.Job)
	}
	if err != nil || tag.RowsAffected() == 1 {
		return l, err
	}
	rows, err := s.pool.Query(ctx, `SELECT `+tradeLinkColumns+` FROM trade_link WHERE secret = $1`, secret.bytes())
	if err != nil {
		return l, explain(err)
	}
	l, err = pgx.CollectExactlyOneRow(rows, pgx.RowToStructByPos[TradeLink])
	return l, explain(err)
}

// TradeLinks lists the links of a job, the newest first, with those that lapsed or
// were revoked.
func (s *Store) TradeLinks(ctx context.Context, job scheduler.ID) ([]TradeLink, error) {
	rows, err := s.pool.Query(ctx, `SELECT `+tradeLinkColumns+` FROM trade_link WHERE job = $1 ORDER BY made_at DESC, id`, string(job))
	if err != nil {
		return nil, explain(err)
	}
	links, err := pgx.CollectRows(rows, pgx.RowToStructByPos[TradeLink])
	return links, explain(err)
}

// RevokeTradeLink shuts a link of a job, its calendar and all its sessions from
// this moment on; scheduler.ErrNotFound when the job has no such link that is open.
func (s *Store) RevokeTradeLink(ctx context.Context, job scheduler.ID, id uuid.UUID) error {
	return s.touchOne(ctx, `UPDATE trade_link SET revoked_at = $3 WHERE job = $1 AND id = $2 AND revoked_at IS NULL`, string(job), id, s.now().UTC())
}

// VisitTradeLink opens a session that is bound to the link of a secret and lasts as
// long as that; scheduler.ErrNotFound when no open link has it.
func (s *Store) VisitTradeLink(ctx context.Context, secret, token Hash, device string) (until time.Time, err error) {
	err = s.sweeping(ctx, func(tx pgx.Tx, now time.Time) error {
		var id uuid.UUID
		err := tx.QueryRow(ctx, `UPDATE trade_link SET used_at = $2
			WHERE secret = $1 AND revoked_at IS NULL AND expires_at > $2
			RETURNING id, expires_at`, secret.bytes(), now).Scan(&id, &until)
		if errors.Is(err, pgx.ErrNoRows) {
			return fmt.Errorf("trade link: %w", scheduler.ErrNotFound)
		}
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO session (token, id, trade_link, device, made_at, seen_at, expires_at) VALUES ($1, $2, $3, $4, $5, $5, $6)`,
			token.bytes(), uuid.New(), id, device, now, until)
		return err
	})
	return until, err
}

// TradeLinkOf is the open link that has a secret; scheduler.ErrNotFound when there
// is none.
func (s *Store) TradeLinkOf(ctx context.Context, secret Hash) (TradeLink, error) {
	return s.openLink(ctx, `secret`, secret)
}

// TradeLinkOfCalendar is the open link whose calendar has a secret;
// scheduler.ErrNotFound when there is none.
func (s *Store) TradeLinkOfCalendar(ctx context.Context, calendar Hash) (TradeLink, error) {
	return s.openLink(ctx, `calendar`, calendar)
}

func (s *Store) openLink(ctx context.Context, column string, hash Hash) (TradeLink, error) {
	rows, err := s.pool.Query(ctx, `SELECT `+tradeLinkColumns+` FROM trade_link
		WHERE `+column+` = $1 AND revoked_at IS NULL AND expires_at > $2`, hash.bytes(), s.now().UTC())
	if err != nil {
		return TradeLink{}, explain(err)
	}
	l, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByPos[TradeLink])
	if errors.Is(err, pgx.ErrNoRows) {
		return TradeLink{}, fmt.Errorf("trade link: %w", scheduler.ErrNotFound)
	}
	return l, explain(err)
}
