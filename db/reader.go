package db

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5/pgtype"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Stand is how a job and its plans stood at some moment: its newest revision, and
// which plans were kept of that.
type Stand struct {
	Job      scheduler.ID
	Revision int64 // 0: there is no such job
	takes    []takeOf
}

type takeOf struct {
	asOf worktime.Date
	take int
}

// Take is the take of the plan that was kept as of a day, 0 where there was none.
func (s *Stand) Take(asOf worktime.Date) int {
	for _, t := range s.takes {
		if t.asOf == asOf {
			return t.take
		}
	}
	return 0
}

// selectReader is selectAsker with how the job stands: a row for each plan that is kept
// of its newest revision. Nothing is worked out in it and nothing passed that need not
// be: every read of a job begins with it.
const selectReader = `
	SELECT s.id, s.seen_at, s.expires_at,
		s.account, coalesce(a.name, l.label), coalesce(a.steward, false),
		coalesce(seat.role, ''), coalesce(seat.person, ''),
		s.trade_link, coalesce(l.job, ''), coalesce(l.trade, ''),
		coalesce(j.revision, 0), coalesce(p.as_of_day - '1970-01-01'::date, 0), coalesce(p.take, 0)
	FROM session s
	LEFT JOIN account a ON a.id = s.account AND a.closed_at IS NULL
	LEFT JOIN seat ON seat.account = a.id AND seat.job = $3
	LEFT JOIN trade_link l ON l.id = s.trade_link AND l.revoked_at IS NULL AND l.expires_at > $2
	LEFT JOIN job j ON j.id = $3
	LEFT JOIN plan p ON p.job = j.id AND p.revision = j.revision
	WHERE s.token = $1 AND s.ended_at IS NULL AND s.expires_at > $2 AND num_nonnulls(a.id, l.id) = 1`

// Reader is Asker, and how the job stands, in the same round trip.
func (s *Store) Reader(ctx context.Context, token Hash, job scheduler.ID) (Asker, *Stand, error) {
	var (
		a                            Asker
		session, account, link       pgtype.UUID // read as they are sent, which uuid.UUID is not
		role, person, linkJob, trade string
		seen, until                  time.Time
		day                          int32
		take                         int
	)
	stand := &Stand{Job: job}
	rows, err := s.pool.Query(ctx, selectReader, token.bytes(), s.now().UTC(), string(job))
	if err != nil {
		return Asker{}, nil, explain(err)
	}
	defer rows.Close()
	found := false
	for rows.Next() {
		if err := rows.Scan(&session, &seen, &until, &account, &a.Name, &a.Steward, &role, &person, &link, &linkJob, &trade, &stand.Revision, &day, &take); err != nil {
			return Asker{}, nil, explain(err)
		}
		found = true
		if take > 0 {
			stand.takes = append(stand.takes, takeOf{worktime.Date(day), take})
		}
	}
	if err := rows.Err(); err != nil {
		return Asker{}, nil, explain(err)
	}
	if !found {
		return Asker{}, nil, scheduler.ErrNotFound
	}
	a.Session, a.Account, a.Link = uuid.UUID(session.Bytes), uuid.UUID(account.Bytes), uuid.UUID(link.Bytes)
	a.Seen, a.Until = seen, until
	a.Role, a.Person, a.Job, a.Trade = scheduler.Role(role), scheduler.ID(person), scheduler.ID(linkJob), scheduler.ID(trade)
	return a, stand, nil
}
