package signin

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// Visitor is who asks.
type Visitor struct {
	Name    string    // what the history says: the account's name, or the link's label
	Account uuid.UUID // zero: not an account
	Session uuid.UUID
	Steward bool       // the machine's own owner: owner of every job, may make jobs and accounts
	Link    *TradeLink // not nil: a trade's private link, nothing else is open to it

	Role   scheduler.Role // on the job that the request is about, empty: none
	Person scheduler.ID   // whom of that job the account acts as, empty: nobody
}

// TradeLink is the private link that a trade came by.
type TradeLink struct {
	ID         uuid.UUID
	Job, Trade scheduler.ID
}

// Nobody says that nobody has signed in.
func (v Visitor) Nobody() bool { return v.Session == uuid.UUID{} }

// Owns says that the visitor is an owner of the job that the request is about.
func (v Visitor) Owns() bool { return v.Steward || v.Role == scheduler.Owner }

type visitorKey struct{}

// From is who asks in ctx, the zero Visitor where nobody has signed in.
func From(ctx context.Context) Visitor {
	v, _ := ctx.Value(visitorKey{}).(Visitor)
	return v
}

// With is ctx in which v asks.
func With(ctx context.Context, v Visitor) context.Context {
	return context.WithValue(ctx, visitorKey{}, v)
}

// Identify is who a request comes from and, where it is about a job, what they are
// on it: one query. The zero Visitor where it brings no token that opens anything.
func (k *Keeper) Identify(r *http.Request, job scheduler.ID) (Visitor, error) {
	token := k.tokenOf(r)
	if token == "" {
		return Visitor{}, nil
	}
	a, err := k.store.Asker(r.Context(), db.HashOf(token), job)
	return k.visitor(r.Context(), a, job, err)
}

// IdentifyReader is Identify, and how the job stands, in the same query; nil for nobody.
func (k *Keeper) IdentifyReader(r *http.Request, job scheduler.ID) (Visitor, *db.Stand, error) {
	token := k.tokenOf(r)
	if token == "" {
		return Visitor{}, nil, nil
	}
	a, stand, err := k.store.Reader(r.Context(), db.HashOf(token), job)
	v, err := k.visitor(r.Context(), a, job, err)
	return v, stand, err
}

// visitor is the visitor who was found, or the error with which nobody was.
func (k *Keeper) visitor(ctx context.Context, a db.Asker, job scheduler.ID, err error) (Visitor, error) {
	switch {
	case errors.Is(err, scheduler.ErrNotFound):
		return Visitor{}, nil
	case err != nil:
		return Visitor{}, err
	}
	if k.now().Sub(a.Seen) >= seenAgain {
		if err := k.store.Seen(ctx, a.Session); err != nil && ctx.Err() == nil {
			k.log.Warn().Err(err).Msg("that a session is in use was not noted")
		}
	}
	v := Visitor{Name: a.Name, Account: a.Account, Session: a.Session, Steward: a.Steward, Role: a.Role, Person: a.Person}
	if a.Link != (uuid.UUID{}) {
		v.Link = &TradeLink{ID: a.Link, Job: a.Job, Trade: a.Trade}
	}
	if v.Steward && job != "" {
		v.Role = scheduler.Owner
	}
	return v, nil
}

// OfCalendar is the trade's link whose calendar has a secret; scheduler.ErrNotFound
// where there is none, or none any more.
func (k *Keeper) OfCalendar(ctx context.Context, secret string) (TradeLink, error) {
	l, err := k.store.TradeLinkOfCalendar(ctx, db.HashOf(secret))
	return TradeLink{ID: l.ID, Job: l.Job, Trade: l.Trade}, err
}

// tokenOf is the session token that a request brings: a bearer, else the cookie.
func (k *Keeper) tokenOf(r *http.Request) string {
	if scheme, token, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok && strings.EqualFold(scheme, "Bearer") {
		return strings.TrimSpace(token)
	}
	if c, err := r.Cookie(k.cookieName(r, CookieName)); err == nil {
		return c.Value
	}
	return ""
}

// Author is the visitor as the history knows them.
func (v Visitor) Author() db.Author {
	a := db.Author{Name: v.Name, Account: v.Account}
	if v.Link != nil {
		a.Link = v.Link.ID
	}
	return a
}

// Jobs lists the jobs that the visitor of ctx has a seat on; the steward has one on
// every job.
func Jobs(ctx context.Context, from interface {
	Jobs(ctx context.Context) ([]db.JobHead, error)
	JobsOf(ctx context.Context, account uuid.UUID) ([]db.JobHead, error)
},
) ([]db.JobHead, error) {
	v := From(ctx)
	if v.Steward {
		return from.Jobs(ctx)
	}
	return from.JobsOf(ctx, v.Account)
}
