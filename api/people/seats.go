package people

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// Sitters lists who has a seat on a job. Addresses are for those who give seats: the
// job's owner; others see their own.
func (d *Desk) Sitters(ctx context.Context, by signin.Visitor, job scheduler.ID) ([]db.Sitter, error) {
	sitters, err := d.store.Sitters(ctx, job)
	for k := range sitters {
		if by.Role != scheduler.Owner && sitters[k].ID != by.Account {
			sitters[k].Email = ""
		}
	}
	return sitters, err
}

// Invitation asks somebody onto a job.
type Invitation struct {
	Name   string
	Email  string // may be empty: then a link has to be handed over
	Role   scheduler.Role
	Person scheduler.ID // whom of the job they act as, empty: nobody
}

// Invited is what came of an invitation.
type Invited struct {
	Account uuid.UUID
	Secret  string // of a one-time link to hand over, empty: there is none
	Mailed  bool   // a link is on its way by mail
}

// Invite gives somebody a seat on a job, with an account if they have none, and a
// way in.
//
// Whoever invites must not come by somebody else's account. A link is only shown
// for an account that gives its holder nothing which the inviter does not have
// anyway. Nor must anybody come by a seat that was meant for another, by claiming
// the other's address. Where an account has an address that was never proven, the
// ways into it end when it gets a seat from somebody who did not give it all others,
// and where it wrote the address down itself, whoever gives the seat.
func (d *Desk) Invite(ctx context.Context, by signin.Visitor, job scheduler.ID, in Invitation) (Invited, error) {
	name, err := nameOf("name", in.Name)
	if err != nil {
		return Invited{}, err
	}
	email, err := emailOf(in.Email)
	if err != nil {
		return Invited{}, err
	}
	seat, err := d.seatOf(ctx, job, in.Role, in.Person)
	if err != nil {
		return Invited{}, err
	}
	if email != "" {
		known, _, err := d.store.AccountByEmail(ctx, email)
		if err == nil {
			return d.seatKnown(ctx, by, known, seat)
		}
		if !errors.Is(err, scheduler.ErrNotFound) {
			return Invited{}, err
		}
	}
	id, err := d.store.AddAccount(ctx, name, email, seat)
	if err != nil {
		return Invited{}, taken(err)
	}
	return d.letIn(ctx, by, db.Account{ID: id, Name: name, Email: email}, job)
}

// seatKnown gives a seat to an account that is there already.
func (d *Desk) seatKnown(ctx context.Context, by signin.Visitor, known db.Account, seat db.Seat) (Invited, error) {
	seats, err := d.store.SeatsOf(ctx, known.ID)
	if err != nil {
		return Invited{}, err
	}
	for _, s := range seats {
		if s.Job == seat.Job {
			return Invited{}, &scheduler.Refusal{Kind: scheduler.ErrAlready, Field: "email", What: "they have a seat on this job already", Mend: "change its role"}
		}
	}
	theirs, err := d.ownsAll(ctx, by, seats)
	if err != nil {
		return Invited{}, err
	}
	stranger := !known.Proven && known.ID != by.Account && (known.Claimed || !theirs)
	if stranger && (known.Steward || !d.Mails()) {
		return Invited{}, wrong("email", "somebody on another job has given that address, and nobody knows whether it is theirs", "leave the address out, or ask whoever runs this service")
	}
	if err := d.store.SetSeat(ctx, known.ID, seat, db.Seating{Anew: stranger}); err != nil {
		return Invited{}, err
	}
	return d.letIn(ctx, by, known, seat.Job)
}

// letIn gives somebody with a new seat a way in: by mail where there is an address,
// else by a link to hand over. Who can sign in already needs none.
func (d *Desk) letIn(ctx context.Context, by signin.Visitor, account db.Account, job scheduler.ID) (Invited, error) {
	out := Invited{Account: account.ID}
	if account.Email != "" && d.Mails() {
		j, _, err := d.jobs.Job(ctx, job)
		if err != nil {
			return out, err
		}
		d.keeper.MailInvitation(account, fmt.Sprintf("%s has given you a place on the job %q.", by.Name, j.Title))
		out.Mailed = true
		return out, nil
	}
	secret, err := d.HandOver(ctx, by, job, account.ID)
	if _, refused := errors.AsType[*scheduler.Refusal](err); refused {
		return out, nil // they sign in as they do on their other jobs
	}
	out.Secret = secret
	return out, err
}

// HandOver makes a one-time link for somebody on the job, to be handed over to them.
// It is refused where the link would open more than its maker has, or where they can
// have one mailed to themselves.
func (d *Desk) HandOver(ctx context.Context, by signin.Visitor, job scheduler.ID, account uuid.UUID) (secret string, err error) {
	if err := d.sits(ctx, job, account); err != nil {
		return "", err
	}
	// The link is made first and shown only if all is well then: whoever gives the
	// account another seat meanwhile ends it.
	if secret, err = d.keeper.Shown(ctx, account); err != nil {
		return "", err
	}
	a, err := d.store.Account(ctx, account)
	if err != nil {
		return "", err
	}
	seats, err := d.store.SeatsOf(ctx, account)
	if err != nil {
		return "", err
	}
	theirs, err := d.ownsAll(ctx, by, seats)
	switch {
	case err != nil:
		return "", err
	case account == by.Account:
	case a.Steward, !theirs:
		return "", refusedLink("they have a place elsewhere too, and the link would open that")
	case a.Proven && d.Mails():
		return "", refusedLink("they can have one mailed to themselves, from the sign-in page")
	}
	return secret, nil
}

func refusedLink(why string) error {
	return &scheduler.Refusal{Kind: scheduler.ErrNotTheirs, What: "no link can be handed over: " + why}
}

// ownsAll says whether the visitor is owner of every job that the seats are on.
func (d *Desk) ownsAll(ctx context.Context, by signin.Visitor, seats []db.Seat) (bool, error) {
	if by.Steward {
		return true, nil
	}
	own, err := d.store.SeatsOf(ctx, by.Account)
	if err != nil {
		return false, err
	}
	owns := map[scheduler.ID]bool{}
	for _, s := range own {
		owns[s.Job] = s.Role == scheduler.Owner
	}
	for _, s := range seats {
		if !owns[s.Job] {
			return false, nil
		}
	}
	return true, nil
}

// sits is scheduler.ErrNotFound for somebody without a seat on the job.
func (d *Desk) sits(ctx context.Context, job scheduler.ID, account uuid.UUID) error {
	sitters, err := d.store.Sitters(ctx, job)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(sitters, func(s db.Sitter) bool { return s.ID == account }) {
		return fmt.Errorf("account: %w", scheduler.ErrNotFound)
	}
	return nil
}

// Change gives somebody on the job another role, or another person to act as.
func (d *Desk) Change(ctx context.Context, by signin.Visitor, job scheduler.ID, account uuid.UUID, role scheduler.Role, person scheduler.ID) error {
	if err := d.sits(ctx, job, account); err != nil {
		return err
	}
	seat, err := d.seatOf(ctx, job, role, person)
	if err != nil {
		return err
	}
	return lastOwner(d.store.SetSeat(ctx, account, seat, db.Seating{KeepOwner: !by.Steward}))
}

// Drop takes somebody's seat on the job away, from this moment on.
func (d *Desk) Drop(ctx context.Context, by signin.Visitor, job scheduler.ID, account uuid.UUID) error {
	return lastOwner(d.store.DropSeat(ctx, account, job, !by.Steward))
}

func lastOwner(err error) error {
	if errors.Is(err, db.ErrLastOwner) {
		return wrong("role", "the job would be left without an owner", "make somebody else its owner first")
	}
	return err
}
