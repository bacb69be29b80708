package api

import (
	"context"
	"errors"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"gaugerod/api/signin"
)

// apiVersion is the version of the contract: its first part goes up when a client
// has to change, its second when something is added.
const apiVersion = "2.5"

// prefix is where the API is.
const prefix = "/api"

// jobFilePath ends the route that takes whole job files.
const jobFilePath = "/file"

// routes adds the API and its OpenAPI document.
func (s *Server) routes() {
	group := s.echo.Group(prefix)
	s.api = humaecho.NewWithGroup(s.echo, group, s.apiConfig())
	s.jobRoutes()
	s.jobFileRoutes()
	s.planRoutes()
	s.stepRoutes()
	s.whyRoutes()
	s.waitRoutes()
	s.holdRoutes()
	s.factRoutes()
	s.orderRoutes()
	s.drawingRoutes()
	s.oddsRoutes()
	s.tradeRoutes()
	s.placeRoutes()
	s.windowRoutes()
	s.alertRoutes()
	s.pinRoutes()
	s.dueRoutes()
	s.selfCheckRoutes()
	s.issueRoutes()
	s.trialRoutes()
	s.nameRoutes()
	s.mineRoutes()
	s.historyRoutes()
	s.attachmentRoutes()
	s.eventRoutes()
	s.searchRoutes()
	s.sessionRoutes()
	s.youRoutes()
	s.peopleRoutes()
	s.tradeLinkRoutes()
	sayNull(s.api.OpenAPI())
}

// underAPI says whether a request is for the API, be there something or not.
func underAPI(c echo.Context) bool { return strings.HasPrefix(c.Request().URL.Path, prefix+"/") }

func (s *Server) apiConfig() huma.Config {
	registry := huma.NewMapRegistry("#/components/schemas/", huma.DefaultSchemaNamer)
	words(registry)
	return huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{
				Title:   "Gaugerod",
				Version: apiVersion,
				Description: "One demanding building job: its steps, waits, hold points, orders and facts, and the plan computed from them. " +
					"Every change returns the new revision; reads carry it in their ETag, and a change with If-Match is refused when the job has changed meanwhile. " +
					"Gaugerod orders work; it never says that work is safe. A computed date is no permission to load, strip, undercut, remove a support, energise or enter: " +
					"local codes and licensed or authorised persons come first.",
			},
			Servers: []*huma.Server{{URL: prefix}},
			Components: &huma.Components{
				Schemas: registry,
				SecuritySchemes: map[string]*huma.SecurityScheme{
					"session": {Type: "apiKey", In: "cookie", Name: signin.CookieName, Description: "Set by signing in. Over TLS __Host- stands before its name."},
					"bearer":  {Type: "http", Scheme: "bearer", Description: "A session token, got for the secret of a link or for a password."},
				},
			},
			Security: []map[string][]string{{"session": {}}, {"bearer": {}}},
		},
		OpenAPIPath:                  "/openapi",
		Formats:                      map[string]huma.Format{"application/json": jsonFormat(), "json": jsonFormat()},
		DefaultFormat:                "application/json",
		RejectUnknownQueryParameters: true,
		Transformers:                 []huma.Transformer{signProblem},
	}
}

// route is one operation as it is declared.
type route struct {
	id, method, path, summary string
	also                      func(*huma.Operation) // what else the document says of it
}

// register adds an operation whose errors become problems, here as everywhere.
func register[I, O any](s *Server, r route, handle func(context.Context, *I) (*O, error)) {
	registry := s.api.OpenAPI().Components.Schemas
	op := huma.Operation{
		OperationID: r.id, Method: r.method, Path: r.path, Summary: r.summary, Tags: []string{tagOf(r.path)},
		Responses: map[string]*huma.Response{"default": {
			Description: "What went wrong, as problem details (RFC 9457).",
			Content: map[string]*huma.MediaType{"application/problem+json": {
				Schema: registry.Schema(reflect.TypeFor[Problem](), true, "Problem"),
			}},
		}},
	}
	if r.also != nil {
		r.also(&op)
	}
	huma.Register(s.api, op, func(ctx context.Context, in *I) (*O, error) {
		out, err := handle(ctx, in)
		if err == nil {
			return out, nil
		}
		if _, ok := errors.AsType[huma.HeadersError](err); ok {
			return nil, err
		}
		p := ProblemOf(err)
		if unforeseen(p) {
			zerolog.Ctx(ctx).Error().Err(err).Str("operation", r.id).Msg("unforeseen error")
		}
		return nil, p
	})
}

// tagOf is the kind of thing that a path is about: "holds" of /jobs/{job}/holds/{hold}.
func tagOf(path string) string {
	parts := strings.Split(path, "/")
	if len(parts) > 3 {
		return parts[3]
	}
	return parts[1]
}

// signProblem gives every problem the id of its request, and keeps whole bodies
// that a fault quotes from being sent back.
func signProblem(ctx huma.Context, _ string, v any) (any, error) {
	var signed Problem
	switch p := v.(type) {
	case *Problem:
		signed = *p
	case *huma.ErrorModel: // what huma itself objects to
		signed.ErrorModel = *p
	default:
		return v, nil
	}
	faults := signed.Errors
	signed.Instance = "urn:gaugerod:request:" + humaecho.Unwrap(ctx).Response().Header().Get(requestIDHeader)
	switch {
	case signed.Type != "":
	case signed.Detail == validatorSays && signed.Status != http.StatusUnprocessableEntity, signed.Status == http.StatusRequestEntityTooLarge:
		plain := problemOfStatus(signed.Status)
		signed.Type, signed.Detail = plain.Type, plain.Detail
	case signed.Detail == validatorSays:
		signed.Type, signed.Title = problemType("invalid"), "The request is not as it has to be"
		signed.Detail = "What was sent does not fit; each error says where and how. Nothing has been changed."
	default:
		signed.Type = "about:blank"
	}
	signed.Errors = make([]*huma.ErrorDetail, 0, len(faults))
	for _, d := range faults {
		brief := *d
		brief.Message = plainly(brief.Message)
		if text, scalar := brief.Value.(string); !scalar || text == "" || len(text) > longestQuote || brief.Location == "body" {
			brief.Value = nil
		}
		signed.Errors = append(signed.Errors, &brief)
	}
	return &signed, nil
}

// validatorSays is what huma says whenever a request does not fit.
const validatorSays = "validation failed"

// longestQuote is how much of what was sent an answer may quote, in bytes.
const longestQuote = 100

func get(id, path, summary string) route {
	return route{id: id, method: http.MethodGet, path: path, summary: summary}
}
