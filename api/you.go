package api

import (
	"context"
	"net/http"
	"time"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// YouBody is one's own account.
type YouBody struct {
	Account     uuid.UUID      `json:"account"`
	Name        string         `json:"name" doc:"What the history says of what you change."`
	Email       string         `json:"email,omitempty"`
	HasPassword bool           `json:"has_password"`
	Steward     bool           `json:"steward" doc:"You are the machine's own owner: owner of every job."`
	Seats       []YourSeatBody `json:"seats" nullable:"false"`
}

// YourSeatBody is one's own role on a job.
type YourSeatBody struct {
	SeatBody
	Job scheduler.ID `json:"job"`
}

// DescribeBody sets one's own name and address.
type DescribeBody struct {
	Name  string `json:"name" minLength:"1" maxLength:"200"`
	Email string `json:"email,omitempty" maxLength:"200" doc:"Left out: none is kept."`
}

// NewPasswordBody sets one's own password.
type NewPasswordBody struct {
	Was string `json:"was,omitempty" maxLength:"256" doc:"The one so far; left out where there is none."`
	Is  string `json:"is" minLength:"1" maxLength:"256" doc:"The new one, of at least 15 characters."`
}

// SessionBody is a device that is signed in.
type SessionBody struct {
	ID     uuid.UUID `json:"id"`
	Device string    `json:"device" doc:"In few plain words."`
	This   bool      `json:"this" doc:"It is the one that asks."`
	Made   time.Time `json:"made"`
	Seen   time.Time `json:"seen" doc:"When it was last used, give or take some minutes."`
	Until  time.Time `json:"until" doc:"When it lapses."`
}

// SessionsBody is all devices that are signed in.
type SessionsBody struct {
	Sessions []SessionBody `json:"sessions" nullable:"false"`
}

func (s *Server) youRoutes() {
	register(s, get("get-you", "/you", "Your own account and your roles"), s.getYou)
	register(s, route{id: "describe-you", method: http.MethodPut, path: "/you", summary: "Change your own name and address"},
		func(ctx context.Context, in *struct{ Body DescribeBody }) (*struct{}, error) {
			return nil, s.people.Describe(ctx, signin.From(ctx), in.Body.Name, in.Body.Email)
		})
	register(s, route{id: "set-password", method: http.MethodPut, path: "/you/password", summary: "Set or change your own password; your other sessions end"},
		func(ctx context.Context, in *struct{ Body NewPasswordBody }) (*struct{}, error) {
			return nil, s.people.SetPassword(ctx, signin.From(ctx), in.Body.Was, in.Body.Is)
		})
	register(s, get("list-sessions", "/you/sessions", "The devices on which you are signed in"), s.listSessions)
	register(s, route{id: "end-one-session", method: http.MethodDelete, path: "/you/sessions/{session}", summary: "Sign one of your devices out"},
		func(ctx context.Context, in *struct {
			Session uuid.UUID `path:"session"`
		},
		) (*struct{}, error) {
			return nil, s.people.EndSession(ctx, signin.From(ctx), in.Session)
		})
	register(s, route{id: "end-other-sessions", method: http.MethodDelete, path: "/you/sessions", summary: "Sign all your other devices out"},
		func(ctx context.Context, _ *struct{}) (*struct{}, error) {
			return nil, s.people.EndOthers(ctx, signin.From(ctx))
		})
}

func (s *Server) getYou(ctx context.Context, _ *struct{}) (*struct{ Body YouBody }, error) {
	a, seats, err := s.people.You(ctx, signin.From(ctx))
	if err != nil {
		return nil, err
	}
	out := &struct{ Body YouBody }{YouBody{
		Account: a.ID, Name: a.Name, Email: a.Email, HasPassword: a.HasPassword, Steward: a.Steward, Seats: make([]YourSeatBody, 0, len(seats)),
	}}
	for _, seat := range seats {
		out.Body.Seats = append(out.Body.Seats, YourSeatBody{SeatBody: seatBody(seat), Job: seat.Job})
	}
	return out, nil
}

func (s *Server) listSessions(ctx context.Context, _ *struct{}) (*struct{ Body SessionsBody }, error) {
	v := signin.From(ctx)
	sessions, err := s.people.Sessions(ctx, v)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body SessionsBody }{SessionsBody{Sessions: make([]SessionBody, 0, len(sessions))}}
	for _, e := range sessions {
		out.Body.Sessions = append(out.Body.Sessions, SessionBody{ID: e.ID, Device: e.Device, This: e.ID == v.Session, Made: e.Made, Seen: e.Seen, Until: e.Until})
	}
	return out, nil
}
