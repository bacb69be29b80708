package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/uuid"

	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// noStore keeps an answer with a secret in it out of every cache.
const noStore = "no-store"

// SeatRole is a role that somebody with an account may have on a job.
type SeatRole scheduler.Role

// Schema lists the roles that a seat may have.
func (SeatRole) Schema(huma.Registry) *huma.Schema { return oneOf(db.SeatRoles...) }

// SeatBody is what somebody is on a job.
type SeatBody struct {
	Role   SeatRole     `json:"role"`
	Person scheduler.ID `json:"person,omitempty" maxLength:"100" doc:"Whom of the job's people they act as."`
}

// SitterBody is somebody with a seat on a job.
type SitterBody struct {
	SeatBody
	Account uuid.UUID `json:"account"`
	Name    string    `json:"name"`
	Email   string    `json:"email,omitempty" doc:"Shown to the owner of the job alone."`
}

// SittersBody is who has which role on a job.
type SittersBody struct {
	People []SitterBody `json:"people" nullable:"false"`
}

// InvitationBody asks somebody onto a job.
type InvitationBody struct {
	SeatBody
	Name  string `json:"name" minLength:"1" maxLength:"200" doc:"What the history says of what they change."`
	Email string `json:"email,omitempty" maxLength:"200" doc:"Where mail is set up, a sign-in link is mailed there."`
}

// InvitedBody is what came of an invitation.
type InvitedBody struct {
	Account uuid.UUID `json:"account"`
	Mailed  bool      `json:"mailed" doc:"A sign-in link is on its way by mail."`
	Path    string    `json:"path,omitempty" format:"uri-reference" doc:"A sign-in link to hand over, shown only now: put the service's address in front."`
}

type invitedAnswer struct {
	CacheControl string `header:"Cache-Control"`
	Body         InvitedBody
}

// AccountPath names somebody on a job.
type AccountPath struct {
	JobPath
	Account uuid.UUID `path:"account"`
}

// AccountLineBody is an account in the list of all.
type AccountLineBody struct {
	Account uuid.UUID `json:"account"`
	Name    string    `json:"name"`
	Email   string    `json:"email,omitempty"`
	Steward bool      `json:"steward" doc:"The machine's own owner."`
	Made    time.Time `json:"made"`
	Jobs    int       `json:"jobs" doc:"How many jobs it has a seat on."`
}

// AccountsBody is all accounts.
type AccountsBody struct {
	Accounts []AccountLineBody `json:"accounts" nullable:"false"`
}

func (s *Server) peopleRoutes() {
	register(s, get("list-people", "/jobs/{job}/people", "Who has which role on the job"), s.listPeople)
	register(s, route{
		id: "invite", method: http.MethodPost, path: "/jobs/{job}/people",
		summary: "Give somebody a role on the job, with an account if they have none, and a way to sign in",
		also:    func(op *huma.Operation) { op.DefaultStatus = http.StatusCreated },
	}, s.invite)
	register(s, route{id: "change-role", method: http.MethodPut, path: "/jobs/{job}/people/{account}", summary: "Give somebody another role on the job"},
		func(ctx context.Context, in *struct {
			AccountPath
			Body SeatBody
		},
		) (*struct{}, error) {
			return nil, s.people.Change(ctx, signin.From(ctx), in.Job, in.Account, scheduler.Role(in.Body.Role), in.Body.Person)
		})
	register(s, route{id: "take-role", method: http.MethodDelete, path: "/jobs/{job}/people/{account}", summary: "Take somebody's role on the job away, at once"},
		func(ctx context.Context, in *AccountPath) (*struct{}, error) {
			return nil, s.people.Drop(ctx, signin.From(ctx), in.Job, in.Account)
		})
	register(s, route{id: "hand-over-link", method: http.MethodPost, path: "/jobs/{job}/people/{account}/link", summary: "Make a sign-in link to hand over to somebody who cannot have one mailed"},
		func(ctx context.Context, in *AccountPath) (*linkAnswer, error) {
			secret, err := s.people.HandOver(ctx, signin.From(ctx), in.Job, in.Account)
			return &linkAnswer{CacheControl: noStore, Body: LinkBody{Path: signin.Link("", secret)}}, err
		})
	register(s, get("list-accounts", "/accounts", "Everybody who may sign in"), s.listAccounts)
	register(s, route{id: "close-account", method: http.MethodDelete, path: "/accounts/{account}", summary: "Let somebody in no more, at once"},
		func(ctx context.Context, in *struct {
			Account uuid.UUID `path:"account"`
		},
		) (*struct{}, error) {
			return nil, s.people.CloseAccount(ctx, in.Account)
		})
}

func (s *Server) listPeople(ctx context.Context, in *JobPath) (*struct{ Body SittersBody }, error) {
	sitters, err := s.people.Sitters(ctx, signin.From(ctx), in.Job)
	if err != nil {
		return nil, err
	}
	if _, _, err := s.office.Job(ctx, in.Job); err != nil { // the steward may ask of any
		return nil, err
	}
	out := &struct{ Body SittersBody }{SittersBody{People: make([]SitterBody, 0, len(sitters))}}
	for _, p := range sitters {
		out.Body.People = append(out.Body.People, SitterBody{SeatBody: seatBody(p.Seat), Account: p.ID, Name: p.Name, Email: p.Email})
	}
	return out, nil
}

func seatBody(s db.Seat) SeatBody { return SeatBody{Role: SeatRole(s.Role), Person: s.Person} }

func (s *Server) invite(ctx context.Context, in *struct {
	JobPath
	Body InvitationBody
},
) (*invitedAnswer, error) {
	b := in.Body
	invited, err := s.people.Invite(ctx, signin.From(ctx), in.Job, people.Invitation{Name: b.Name, Email: b.Email, Role: scheduler.Role(b.Role), Person: b.Person})
	if err != nil {
		return nil, err
	}
	out := &invitedAnswer{CacheControl: noStore, Body: InvitedBody{Account: invited.Account, Mailed: invited.Mailed}}
	if invited.Secret != "" {
		out.Body.Path = signin.Link("", invited.Secret)
	}
	return out, nil
}

func (s *Server) listAccounts(ctx context.Context, _ *struct{}) (*struct{ Body AccountsBody }, error) {
	accounts, err := s.people.Accounts(ctx)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body AccountsBody }{AccountsBody{Accounts: make([]AccountLineBody, 0, len(accounts))}}
	for _, a := range accounts {
		out.Body.Accounts = append(out.Body.Accounts, AccountLineBody{Account: a.ID, Name: a.Name, Email: a.Email, Steward: a.Steward, Made: a.Made, Jobs: a.Jobs})
	}
	return out, nil
}
