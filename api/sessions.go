package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"

	"gaugerod/api/signin"
)

const sessionsPath = "/sessions"

// SecretBody brings the secret of a sign-in link or of a trade's.
type SecretBody struct {
	Secret string `json:"secret" minLength:"1" maxLength:"200" doc:"What follows secret= in the link."`
}

// PasswordBody brings an address and its password.
type PasswordBody struct {
	Email    string `json:"email" minLength:"1" maxLength:"200"`
	Password string `json:"password" minLength:"1" maxLength:"256"`
}

// EmailBody brings an address.
type EmailBody struct {
	Email string `json:"email" minLength:"1" maxLength:"200"`
}

// TokenBody is the token of a session.
type TokenBody struct {
	Token string    `json:"token" doc:"Send it as a bearer with each request."`
	Until time.Time `json:"until" doc:"When it lapses, if it is not ended before."`
	Trade bool      `json:"trade" doc:"It is bound to a trade's link and opens nothing but that trade's own part, /mine."`
}

// LinkBody is a sign-in link.
type LinkBody struct {
	Path string `json:"path" format:"uri-reference" doc:"Opens one session within a week; put the service's address in front."`
}

type tokenAnswer struct {
	CacheControl string `header:"Cache-Control"`
	Body         TokenBody
}

type linkAnswer struct {
	CacheControl string `header:"Cache-Control"`
	Body         LinkBody
}

func (s *Server) sessionRoutes() {
	open := func(op *huma.Operation) { op.Security = []map[string][]string{} }
	register(s, route{
		id: "open-session", method: http.MethodPost, path: sessionsPath, also: open,
		summary: "Open a session by the secret of a sign-in link, which is spent by that, or of a trade's; for scripts",
	}, func(ctx context.Context, in *struct {
		device
		Body SecretBody
	},
	) (*tokenAnswer, error) {
		return opened(s.keeper.Open(ctx, in.Body.Secret, in.device.name))
	})
	register(s, route{
		id: "open-session-by-password", method: http.MethodPost, path: sessionsPath + "/password", also: open,
		summary: "Open a session by address and password; for scripts",
	}, func(ctx context.Context, in *struct {
		device
		Body PasswordBody
	},
	) (*tokenAnswer, error) {
		return opened(s.keeper.OpenWithPassword(ctx, in.Body.Email, in.Body.Password, in.device.name))
	})
	register(s, route{
		id: "mail-link", method: http.MethodPost, path: sessionsPath + "/mail",
		summary: "Have a sign-in link mailed; the answer does not tell whether the address is known",
		also: func(op *huma.Operation) {
			open(op)
			op.DefaultStatus = http.StatusAccepted
		},
	}, func(_ context.Context, in *struct{ Body EmailBody }) (*struct{}, error) {
		if s.keeper.Mailer == nil {
			return nil, problemOf("no-mail", http.StatusNotFound, "No mail", "This service does not mail links.")
		}
		s.keeper.MailLink(in.Body.Email)
		return nil, nil
	})
	register(s, route{id: "end-session", method: http.MethodDelete, path: sessionsPath, summary: "Sign out: end the session that asks"},
		func(ctx context.Context, _ *struct{}) (*struct{}, error) {
			return nil, s.keeper.EndOf(ctx, signin.From(ctx))
		})
	register(s, route{id: "make-link", method: http.MethodPost, path: "/sign-in-links", summary: "Make a sign-in link for one more device of yours"},
		func(ctx context.Context, _ *struct{}) (*linkAnswer, error) {
			secret, err := s.keeper.Shown(ctx, signin.From(ctx).Account)
			return &linkAnswer{CacheControl: "no-store", Body: LinkBody{Path: signin.Link("", secret)}}, err
		})
}

// device is what a request says that it comes from.
type device struct{ name string }

// Resolve reads it from the header, which is no part of the contract.
func (d *device) Resolve(ctx huma.Context) []error {
	d.name = signin.Device(humaecho.Unwrap(ctx).Request().UserAgent())
	return nil
}

func opened(o signin.Opened, err error) (*tokenAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &tokenAnswer{CacheControl: "no-store", Body: TokenBody{Token: o.Token, Until: o.Until, Trade: o.Trade}}, nil
}
