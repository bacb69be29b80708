package people

import (
	"context"
	"slices"
	"strings"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// You is the visitor's own account with its seats.
func (d *Desk) You(ctx context.Context, v signin.Visitor) (db.Account, []db.Seat, error) {
	a, err := d.store.Account(ctx, v.Account)
	if err != nil {
		return a, nil, err
	}
	seats, err := d.store.SeatsOf(ctx, v.Account)
	return a, seats, err
}

// Describe sets the visitor's own name and address, which may be empty. Nobody takes the
// name of another whose changes stand in the same history.
func (d *Desk) Describe(ctx context.Context, v signin.Visitor, name, email string) error {
	name, err := nameOf("name", name)
	if err != nil {
		return err
	}
	if email, err = emailOf(email); err != nil {
		return err
	}
	if err := d.apart(ctx, v, name); err != nil {
		return err
	}
	return taken(d.store.DescribeAccount(ctx, v.Account, name, email))
}

// apart is a refusal of a new name by which a steward goes already, or somebody else on a
// job of the visitor's.
func (d *Desk) apart(ctx context.Context, v signin.Visitor, name string) error {
	if v.Steward || strings.EqualFold(name, v.Name) {
		return nil
	}
	taken := func(a db.Account) bool { return a.ID != v.Account && strings.EqualFold(a.Name, name) }
	accounts, err := d.store.Accounts(ctx)
	if err != nil {
		return err
	}
	same := slices.ContainsFunc(accounts, func(l db.AccountLine) bool { return l.Steward && taken(l.Account) })
	seats, err := d.store.SeatsOf(ctx, v.Account)
	if err != nil {
		return err
	}
	for _, s := range seats {
		sitters, err := d.store.Sitters(ctx, s.Job)
		if err != nil {
			return err
		}
		same = same || slices.ContainsFunc(sitters, func(p db.Sitter) bool { return taken(p.Account) })
	}
	if same {
		return &scheduler.Refusal{
			Kind: scheduler.ErrAlready, Field: "name", What: "somebody else goes by that name, and the history would not tell you apart",
			Mend: "add something that does",
		}
	}
	return nil
}

// SetPassword sets the visitor's own password; signin.ErrWrong when it has one and
// that is not what was given.
func (d *Desk) SetPassword(ctx context.Context, v signin.Visitor, was, is string) error {
	return d.keeper.SetPassword(ctx, v.Account, v.Session, was, is)
}

// Device makes a one-time link for one more device of the visitor's own.
func (d *Desk) Device(ctx context.Context, v signin.Visitor) (secret string, err error) {
	return d.keeper.Shown(ctx, v.Account)
}

// Sessions lists the visitor's own sessions, the last used first.
func (d *Desk) Sessions(ctx context.Context, v signin.Visitor) ([]db.Session, error) {
	return d.store.Sessions(ctx, v.Account)
}

// EndSession ends one of the visitor's own sessions.
func (d *Desk) EndSession(ctx context.Context, v signin.Visitor, session uuid.UUID) error {
	return d.store.EndSessionOf(ctx, v.Account, session)
}

// EndOthers ends all of the visitor's own sessions but the one that asks.
func (d *Desk) EndOthers(ctx context.Context, v signin.Visitor) error {
	return d.store.EndOtherSessions(ctx, v.Account, v.Session)
}

// Accounts lists all accounts.
func (d *Desk) Accounts(ctx context.Context) ([]db.AccountLine, error) { return d.store.Accounts(ctx) }

// CloseAccount lets an account in no more.
func (d *Desk) CloseAccount(ctx context.Context, account uuid.UUID) error {
	return d.store.CloseAccount(ctx, account)
}
