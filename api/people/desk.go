// Package people is where seats on a job are given and taken, and where trades get
// their private links. The API and the pages share it. Who may come to it for what
// is said in package rights; what is said here is what holds for everybody who may.
package people

import (
	"context"
	"errors"
	"net/mail"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// Store is where accounts, seats and links are kept; *db.Store is one.
type Store interface {
	Account(ctx context.Context, id uuid.UUID) (db.Account, error)
	AccountByEmail(ctx context.Context, email string) (a db.Account, password string, err error)
	Accounts(ctx context.Context) ([]db.AccountLine, error)
	AddAccount(ctx context.Context, name, email string, seat db.Seat) (uuid.UUID, error)
	DescribeAccount(ctx context.Context, id uuid.UUID, name, email string) error
	CloseAccount(ctx context.Context, id uuid.UUID) error

	Sitters(ctx context.Context, job scheduler.ID) ([]db.Sitter, error)
	SeatsOf(ctx context.Context, account uuid.UUID) ([]db.Seat, error)
	SetSeat(ctx context.Context, account uuid.UUID, seat db.Seat, how db.Seating) error
	DropSeat(ctx context.Context, account uuid.UUID, job scheduler.ID, keepOwner bool) error

	Sessions(ctx context.Context, account uuid.UUID) ([]db.Session, error)
	EndSessionOf(ctx context.Context, account, session uuid.UUID) error
	EndOtherSessions(ctx context.Context, account, but uuid.UUID) error

	AddTradeLink(ctx context.Context, l db.TradeLink, secret, calendar db.Hash, life time.Duration) (db.TradeLink, error)
	TradeLinks(ctx context.Context, job scheduler.ID) ([]db.TradeLink, error)
	RevokeTradeLink(ctx context.Context, job scheduler.ID, id uuid.UUID) error
}

// Jobs reads the job that a seat or a link is about; *office.Office does.
type Jobs interface {
	Job(ctx context.Context, id scheduler.ID) (*scheduler.Job, int64, error)
}

// Desk is where one comes for all this. It is safe for use by many goroutines.
type Desk struct {
	store  Store
	jobs   Jobs
	keeper *signin.Keeper
}

// New opens a desk.
func New(store Store, jobs Jobs, keeper *signin.Keeper) *Desk {
	return &Desk{store: store, jobs: jobs, keeper: keeper}
}

// Mails says whether links can be mailed.
func (d *Desk) Mails() bool { return d.keeper.Mailer != nil }

// Base is where the service is reached, before every path.
func (d *Desk) Base() string { return d.keeper.Base }

// What texts may be; common practice, no source.
const (
	mostName  = 80
	mostEmail = 200
)

func wrong(field, what, mend string) error {
	return &scheduler.Refusal{Kind: scheduler.ErrImpossible, Field: field, What: what, Mend: mend}
}

// nameOf is a name of a person or a label, as it is kept.
func nameOf(field, text string) (string, error) {
	text = strings.Join(strings.Fields(text), " ")
	switch {
	case text == "":
		return "", &scheduler.Refusal{Kind: scheduler.ErrIncomplete, Field: field, What: "a name is needed: the history says who did what"}
	case utf8.RuneCountInString(text) > mostName:
		return "", wrong(field, "that is too long for a name", "take at most 80 characters")
	case strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }):
		return "", wrong(field, "that has characters in it which cannot be seen", "")
	}
	return text, nil
}

// emailOf is an address as it is kept, empty where none is given.
func emailOf(text string) (string, error) {
	email := signin.PlainEmail(text)
	if email == "" {
		return "", nil
	}
	parsed, err := mail.ParseAddress(email)
	if err != nil || parsed.Address != email || len(email) > mostEmail || strings.ContainsFunc(email, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return "", wrong("email", "that is no e-mail address", "write it as kim@site.example")
	}
	return email, nil
}

func taken(err error) error {
	if errors.Is(err, db.ErrEmailTaken) {
		return &scheduler.Refusal{Kind: scheduler.ErrAlready, Field: "email", What: "another account has that address"}
	}
	return err
}

// seatOf is a seat that may be given: with a role that a seat may have, and a person
// whom the job has.
func (d *Desk) seatOf(ctx context.Context, job scheduler.ID, role scheduler.Role, person scheduler.ID) (db.Seat, error) {
	if !slices.Contains(db.SeatRoles, role) {
		return db.Seat{}, wrong("role", "there is no such role", "take owner, designer, site lead or reader; a trade gets a private link")
	}
	if person != "" {
		j, _, err := d.jobs.Job(ctx, job)
		if err != nil {
			return db.Seat{}, err
		}
		if !slices.ContainsFunc(j.People, func(p scheduler.Person) bool { return p.ID == person }) {
			return db.Seat{}, wrong("person", "the job has nobody of that name", "leave it empty, or take one of the people of the job")
		}
	}
	return db.Seat{Job: job, Role: role, Person: person}, nil
}
