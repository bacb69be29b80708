package db

import (
	"context"
	"errors"

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

// selectReaders is selectAsker with how the job stands, for any number who ask at once: a
// row for each plan that is kept of its newest revision. Nothing is worked out in it and
// nothing passed that need not be: every read of a job begins with it.
const selectReaders = `
	SELECT q.nr, s.id, s.seen_at, s.expires_at,
		s.account, coalesce(a.name, l.label), coalesce(a.steward, false),
		coalesce(seat.role, ''), coalesce(seat.person, ''),
		s.trade_link, coalesce(l.job, ''), coalesce(l.trade, ''),
		coalesce(j.revision, 0), coalesce(p.as_of_day - '1970-01-01'::date, 0), coalesce(p.take, 0)
	FROM unnest($1::bytea[], $3::text[]) WITH ORDINALITY AS q(token, job, nr)
	JOIN session s ON s.token = q.token
	LEFT JOIN account a ON a.id = s.account AND a.closed_at IS NULL
	LEFT JOIN seat ON seat.account = a.id AND seat.job = q.job
	LEFT JOIN trade_link l ON l.id = s.trade_link AND l.revoked_at IS NULL AND l.expires_at > $2
	LEFT JOIN job j ON j.id = q.job
	LEFT JOIN plan p ON p.job = j.id AND p.revision = j.revision
	WHERE s.ended_at IS NULL AND s.expires_at > $2 AND num_nonnulls(a.id, l.id) = 1`

// reading is what a Reader is asked by, and how he was found.
type (
	reading struct {
		token Hash
		job   scheduler.ID
	}
	reader struct {
		asker Asker
		stand *Stand
	}
)

// Reader is Asker, and how the job stands, in the same round trip; those who ask while
// others do ask together.
func (s *Store) Reader(ctx context.Context, token Hash, job scheduler.ID) (Asker, *Stand, error) {
	r, err := s.readers.of(ctx, reading{token, job})
	if err != nil {
		return Asker{}, nil, err
	}
	return r.asker, r.stand, nil
}

// askReaders answers all of them. Where the database refuses a question of several, each is
// asked alone: it may be one that cannot be.
func (s *Store) askReaders(ctx context.Context, all []reading) []answered[reader] {
	answers := make([]answered[reader], len(all))
	err := s.selectReaders(ctx, all, answers)
	if err != nil && len(all) > 1 && !errors.Is(err, ErrUnavailable) && ctx.Err() == nil {
		for k := range all {
			answers[k] = s.askReaders(ctx, all[k:k+1])[0]
		}
		return answers
	}
	for k := range answers {
		if answers[k].err = err; err == nil && answers[k].is.stand == nil {
			answers[k].err = scheduler.ErrNotFound
		}
	}
	return answers
}

func (s *Store) selectReaders(ctx context.Context, all []reading, answers []answered[reader]) error {
	tokens, jobs := make([][]byte, len(all)), make([]string, len(all))
	for k, r := range all {
		tokens[k], jobs[k] = r.token.bytes(), string(r.job)
	}
	rows, err := s.pool.Query(ctx, selectReaders, tokens, s.now().UTC(), jobs)
	if err != nil {
		return explain(err)
	}
	defer rows.Close()
	var (
		session, account, link       pgtype.UUID // read as they are sent, which uuid.UUID is not
		role, person, linkJob, trade string
		nr, revision                 int64
		day                          int32
		take                         int
	)
	for rows.Next() {
		var a Asker
		if err := rows.Scan(&nr, &session, &a.Seen, &a.Until, &account, &a.Name, &a.Steward, &role, &person, &link, &linkJob, &trade, &revision, &day, &take); err != nil {
			return explain(err)
		}
		is := &answers[nr-1].is
		if is.stand == nil {
			a.Session, a.Account, a.Link = uuid.UUID(session.Bytes), uuid.UUID(account.Bytes), uuid.UUID(link.Bytes)
			a.Role, a.Person, a.Job, a.Trade = scheduler.Role(role), scheduler.ID(person), scheduler.ID(linkJob), scheduler.ID(trade)
			*is = reader{a, &Stand{Job: all[nr-1].job, Revision: revision}}
		}
		if take > 0 {
			is.stand.takes = append(is.stand.takes, takeOf{worktime.Date(day), take})
		}
	}
	return explain(rows.Err())
}
