package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/signin"
)

const sessionsPath = "/sessions"

// SecretBody brings the secret of a sign-in link.
type SecretBody struct {
	Secret string `json:"secret" minLength:"1" maxLength:"200" doc:"What follows secret= in the link."`
}

// TokenBody is the token of a session.
type TokenBody struct {
	Token string `json:"token" doc:"Send it as a bearer with each request."`
}

// LinkBody is a sign-in link for one more device.
type LinkBody struct {
	Path string `json:"path" format:"uri-reference" doc:"Opens one session within a day; put the service's address in front."`
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
	register(s, route{
		id: "open-session", method: http.MethodPost, path: sessionsPath, summary: "Spend a sign-in link's secret on a session token, for scripts",
		also: func(op *huma.Operation) { op.Security = []map[string][]string{} },
	},
		func(_ context.Context, in *struct{ Body SecretBody }) (*tokenAnswer, error) {
			token, err := s.keeper.Open(in.Body.Secret, signin.Owner)
			return &tokenAnswer{CacheControl: "no-store", Body: TokenBody{Token: token}}, err
		})
	register(s, route{id: "make-link", method: http.MethodPost, path: "/sign-in-links", summary: "Make a sign-in link for one more device"},
		func(context.Context, *struct{}) (*linkAnswer, error) {
			return &linkAnswer{CacheControl: "no-store", Body: LinkBody{Path: signin.Link("", s.keeper.NewSecret())}}, nil
		})
}
