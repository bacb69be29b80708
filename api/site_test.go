package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"gaugerod/api/attach"
	"gaugerod/api/office"
	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler/jobfile"
	"gaugerod/web"
)

// site is a whole service over a database of its own, with the example job in it
// and somebody signed in.
type site struct {
	t      testing.TB
	server *Server
	parts  Parts // what it is put together from
	store  store
	token  string
	log    *lines
	router routers.Router
}

// store is what a site is built on: the database, or one that fails.
type store interface {
	office.Store
	signin.Store
	people.Store
	Pinger
	attach.Store
}

// lines is a log that can be read while it is written.
type lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// exampleFile shows every feature of a job file; its as-of day is 2026-04-13.
const exampleFile = "../testdata/every-feature.job.yaml"

func newSite(t *testing.T) *site {
	t.Helper()
	t.Parallel() // each has a database of its own
	return newSiteOver(t, dbtest.Open(t, time.Now))
}

// newSiteAlone is newSite for a test that runs beside no other.
func newSiteAlone(t *testing.T) *site {
	t.Helper()
	return newSiteOver(t, dbtest.Open(t, time.Now))
}

// newWholeSite is a site with all pages.
func newWholeSite(t testing.TB, over store) *site {
	t.Helper()
	s := newSiteOver(t, over)
	pages, err := web.New(s.parts.Office, web.Options{Now: time.Now, Box: s.parts.Box, People: s.parts.People})
	if err != nil {
		t.Fatal(err)
	}
	s.parts.Pages = pages.Register
	s.parts.ErrorPage = func(c echo.Context, p *Problem) error { return pages.Error(c, p.Status, p.Title, p.Detail) }
	if s.server, err = New(s.parts); err != nil {
		t.Fatal(err)
	}
	return s
}

func newSiteOver(t testing.TB, over store) *site {
	t.Helper()
	s := &site{t: t, store: over, log: &lines{}}
	log := zerolog.New(s.log)
	o := office.New(over, time.Now, log)
	t.Cleanup(o.Close)
	keeper := signin.New(over, time.Now, log)
	t.Cleanup(keeper.Close)
	var err error
	s.parts = Parts{Database: over, Office: o, Box: attach.New(over, time.Now), Keeper: keeper, People: people.New(over, o, keeper), Log: log}
	if s.server, err = New(s.parts); err != nil {
		t.Fatal(err)
	}
	secret, err := keeper.Printed(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	opened, err := keeper.Open(t.Context(), secret, "a test")
	if err != nil {
		t.Fatal(err)
	}
	s.token = opened.Token
	s.router = documentRouter(t)
	return s
}

// of is the same site for a test within a test.
func (s *site) of(t *testing.T) *site {
	within := *s
	within.t = t
	return &within
}

// withExample puts the example job there.
func (s *site) withExample() *site {
	s.t.Helper()
	data, err := os.ReadFile(exampleFile)
	if err != nil {
		s.t.Fatal(err)
	}
	job, err := jobfile.Read(exampleFile, data)
	if err != nil {
		s.t.Fatal(err)
	}
	if _, err := s.store.Put(context.Background(), job, db.By("test")); err != nil {
		s.t.Fatal(err)
	}
	return s
}

func TestMain(m *testing.M) {
	for _, kind := range []string{"text/calendar", "text/event-stream", attach.JPEG, attach.PNG, attach.WebP, attach.PDF} {
		openapi3filter.RegisterBodyDecoder(kind, openapi3filter.PlainBodyDecoder)
	}
	code := dbtest.Main(m)
	if code == 0 {
		if err := goleak.Find(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

var documentRouter = func() func(t testing.TB) routers.Router {
	router := sync.OnceValues(func() (routers.Router, error) {
		document, err := openapi3.NewLoader().LoadFromFile(goldenDocument)
		if err != nil {
			return nil, err
		}
		return legacy.NewRouter(document)
	})
	return func(t testing.TB) routers.Router {
		r, err := router()
		if err != nil {
			t.Fatalf("%s: %v", goldenDocument, err)
		}
		return r
	}
}()

// answer is what came back.
type answer struct {
	t      testing.TB
	status int
	header http.Header
	body   []byte
}

// with changes a request before it is sent.
type with func(*http.Request)

func header(name, value string) with {
	return func(r *http.Request) { r.Header.Set(name, value) }
}

func signedOut(r *http.Request) { r.Header.Del("Authorization") }

// send asks the service, and holds request and answer against the OpenAPI
// document: what was taken must be as the document says, what was turned away as
// invalid must not, and every answer must be one that the document has.
func (s *site) send(method, path, body string, withs ...with) answer {
	s.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Authorization", "Bearer "+s.token)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, f := range withs {
		f(r)
	}
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	got := answer{t: s.t, status: w.Code, header: w.Header(), body: w.Body.Bytes()}
	s.againstDocument(r, body, got)
	return got
}

func (s *site) againstDocument(r *http.Request, body string, got answer) {
	s.t.Helper()
	r.Body = io.NopCloser(strings.NewReader(body))
	route, params, err := s.router.FindRoute(r)
	if err != nil {
		return // no address of the API: 404, 405 and pages have tests of their own
	}
	in := &openapi3filter.RequestValidationInput{
		Request: r, PathParams: params, Route: route,
		Options: &openapi3filter.Options{
			AuthenticationFunc: openapi3filter.NoopAuthenticationFunc, IncludeResponseStatus: true,
		},
	}
	err = openapi3filter.ValidateRequest(context.Background(), in)
	// The document cannot say that an unknown query parameter is turned away, nor
	// which days there are: the domain says of those that the body does not fit.
	invalid := bytes.Contains(got.body, []byte(problemType("invalid"))) &&
		!bytes.Contains(got.body, []byte("unknown query parameter")) && !bytes.Contains(got.body, []byte(`"location":"body"`))
	switch {
	case got.status < http.StatusBadRequest && err != nil:
		s.t.Errorf("%s %s was taken, against the document: %v", r.Method, r.URL, err)
	case invalid && err == nil:
		s.t.Errorf("%s %s %s was turned away, though the document allows it: %s", r.Method, r.URL, body, got.body)
	}
	out := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: in, Status: got.status, Header: got.header, Options: in.Options,
	}
	out.SetBodyBytes(got.body)
	if err := openapi3filter.ValidateResponse(context.Background(), out); err != nil {
		s.t.Errorf("%s %s: the answer %d is not as the document says: %v\n%.2000s", r.Method, r.URL, got.status, err, got.body)
	}
}

func (s *site) get(path string, withs ...with) answer {
	s.t.Helper()
	return s.send("GET", path, "", withs...)
}

// want fails unless the status is the wanted one.
func (a answer) want(status int) answer {
	a.t.Helper()
	if a.status != status {
		a.t.Fatalf("status %d, want %d: %.2000s", a.status, status, a.body)
	}
	return a
}

// into reads the body.
func into[T any](a answer) T {
	a.t.Helper()
	var v T
	if err := json.Unmarshal(a.body, &v); err != nil {
		a.t.Fatalf("%v: %.500s", err, a.body)
	}
	return v
}

// problem is the answer as a problem of the wanted status and type, whose words
// hold all of the given ones.
func (a answer) problem(status int, kind string, words ...string) Problem {
	a.t.Helper()
	a.want(status)
	p := into[Problem](a)
	if got := a.header.Get("Content-Type"); got != "application/problem+json" {
		a.t.Errorf("content type %q", got)
	}
	if kind != "about:blank" {
		kind = problemType(kind)
	}
	if p.Type != kind || p.Status != status || p.Title == "" || p.Detail == "" {
		a.t.Errorf("problem %+v, want type %s", p, kind)
	}
	if id := a.header.Get(requestIDHeader); id == "" || p.Instance != "urn:gaugerod:request:"+id {
		a.t.Errorf("instance %q, request %q", p.Instance, id)
	}
	for _, word := range words {
		if !strings.Contains(string(a.body), word) {
			a.t.Errorf("no word of %q: %s", word, a.body)
		}
	}
	return p
}
