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

// Handed is how a sign-in link reaches its reader.
type Handed string

// The ways there are.
const (
	Printed Handed = "printed" // by the program, where it runs
	Mailed  Handed = "mailed"  // to the account's address, and so proves it
	Shown   Handed = "shown"   // on a page, to be handed over
)

// AddSignInLink keeps a one-time link of an account for as long as life.
func (s *Store) AddSignInLink(ctx context.Context, account uuid.UUID, secret Hash, how Handed, life time.Duration) error {
	return s.sweeping(ctx, func(tx pgx.Tx, now time.Time) error {
		tag, err := tx.Exec(ctx, `INSERT INTO sign_in_link (secret, account, handed, made_at, expires_at)
			SELECT $1, id, $3, $4, $5 FROM account WHERE id = $2 AND closed_at IS NULL`,
			secret.bytes(), account, string(how), now, now.Add(life))
		if err == nil && tag.RowsAffected() == 0 {
			return accountNotFound()
		}
		return err
	})
}

// SignInLink is how a link that can still be spent was handed over, and the name of
// whom it signs in; scheduler.ErrNotFound when it cannot be spent.
func (s *Store) SignInLink(ctx context.Context, secret Hash) (how Handed, name string, err error) {
	err = s.pool.QueryRow(ctx, `SELECT l.handed, a.name FROM sign_in_link l JOIN account a ON a.id = l.account
		WHERE l.secret = $1 AND l.spent_at IS NULL AND l.expires_at > $2 AND a.closed_at IS NULL`,
		secret.bytes(), s.now().UTC()).Scan(&how, &name)
	if errors.Is(err, pgx.ErrNoRows) {
		return "", "", linkNotFound()
	}
	return how, name, explain(err)
}

// SpendSignInLink opens a session for a link, which is spent by that, or does
// neither; scheduler.ErrNotFound when it cannot be spent. Of many who try at once
// one gets the session.
//
// A mailed link proves that the address is its reader's. Where it had not been
// proven, somebody else may have written it there and have come in before: what
// let them in ends.
func (s *Store) SpendSignInLink(ctx context.Context, secret, token Hash, device string, life time.Duration) error {
	return s.sweeping(ctx, func(tx pgx.Tx, now time.Time) error {
		var account uuid.UUID
		var how Handed
		err := tx.QueryRow(ctx, `
			UPDATE sign_in_link l SET spent_at = $2 FROM account a
			WHERE l.secret = $1 AND l.spent_at IS NULL AND l.expires_at > $2 AND a.id = l.account AND a.closed_at IS NULL
			RETURNING l.account, l.handed`, secret.bytes(), now).Scan(&account, &how)
		if errors.Is(err, pgx.ErrNoRows) {
			return linkNotFound()
		}
		if err != nil {
			return err
		}
		if how == Mailed {
			if err := prove(ctx, tx, account, now); err != nil {
				return err
			}
		}
		return openSession(ctx, tx, account, token, device, now, now.Add(life))
	})
}

func prove(ctx context.Context, tx pgx.Tx, account uuid.UUID, now time.Time) error {
	tag, err := tx.Exec(ctx, `UPDATE account SET proven_at = $2, password = NULL WHERE id = $1 AND proven_at IS NULL`, account, now)
	if err != nil || tag.RowsAffected() == 0 {
		return err
	}
	batch := &pgx.Batch{}
	batch.Queue(endSessions, account, now)
	batch.Queue(lapseLinks, account, now)
	return tx.SendBatch(ctx, batch).Close()
}

func linkNotFound() error { return fmt.Errorf("sign-in link: %w", scheduler.ErrNotFound) }
