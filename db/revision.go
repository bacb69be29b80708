package db

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"gaugerod/scheduler"
)

// Revision is one change of a job as a whole.
type Revision struct {
	Number   int64
	At       time.Time
	Who      string
	Account  *uuid.UUID // whose it is, where an account made it
	Link     *uuid.UUID // the private link through which a trade made it
	Undoes   *int64     // the revision that it undid
	UndoneBy *int64     // the revision that undid it and still stands
	Note     string     // what it was as a whole, in words; empty: its lines say it
}

// By says whether it was this author's change.
func (r *Revision) By(a Author) bool { return a.made(r.Account, r.Link) }

// Revisions is the newest changes of a job before a revision, the newest first; with
// before 0 there is no such limit. Changes from before they were kept are missing.
func (s *Store) Revisions(ctx context.Context, id scheduler.ID, before int64, limit int) ([]Revision, error) {
	return rowsOf(ctx, s, id, "revisions", pgx.RowToStructByPos[Revision], `
		SELECT r.revision, r.at, r.who, r.account, r.link, r.undoes, (
			SELECT max(u.revision) FROM revision u
			WHERE u.job = r.job AND u.undoes = r.revision
			AND NOT EXISTS (SELECT FROM revision x WHERE x.job = u.job AND x.undoes = u.revision)), r.note
		FROM revision r
		WHERE r.job = $1 AND ($2::bigint = 0 OR r.revision < $2)
		ORDER BY r.revision DESC
		LIMIT $3`, string(id), before, limit)
}
