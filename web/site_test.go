package web

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
	"golang.org/x/net/html"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/rules"
	"gaugerod/scheduler/worktime"
)

// memory is a store that keeps one job in memory, by the rules of the real one:
// a change applies to a copy, has to be sound, and leaves a line of history.
type memory struct {
	mu       sync.Mutex
	head     db.JobHead
	read     func() *scheduler.Job // a fresh copy of the job as it was loaded
	changed  *scheduler.Job        // as the last change left it, nil: there was none
	revision int64
	lines    []db.HistoryLine
	sent     map[string]*db.IssuedPlan         // by letter
	shown    map[scheduler.ID][]db.ShownWindow // by trade
	trials
}

var errNoPlan = scheduler.ErrNotFound

// job is a copy of the job as it stands.
func (m *memory) job() *scheduler.Job {
	if m.changed != nil {
		return m.changed.Copy()
	}
	return m.read()
}

// become has the job be another one, whatever the rules.
func (m *memory) become(change func(*scheduler.Job)) {
	m.mu.Lock()
	defer m.mu.Unlock()
	job := m.job()
	change(job)
	m.changed = job
	m.revision++
}

func (m *memory) Jobs(context.Context) ([]db.JobHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	head := m.head
	head.Revision = m.revision
	return []db.JobHead{head}, nil
}

func (m *memory) JobsOf(ctx context.Context, _ uuid.UUID) ([]db.JobHead, error) { return m.Jobs(ctx) }

func (m *memory) Job(_ context.Context, id scheduler.ID) (*scheduler.Job, int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	job := m.job()
	if job.ID != id {
		return nil, 0, scheduler.ErrNotFound
	}
	return job, m.revision, nil
}

func (m *memory) Revision(_ context.Context, id scheduler.ID) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.head.ID != id {
		return 0, scheduler.ErrNotFound
	}
	return m.revision, nil
}

func (m *memory) Put(context.Context, *scheduler.Job, db.Edit) (int64, error) {
	return 0, errors.New("the memory takes no other job")
}

func (m *memory) Change(_ context.Context, id scheduler.ID, e db.Edit, change func(*scheduler.Job) error) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	job := m.job()
	before, err := json.Marshal(job.Facts)
	if err != nil {
		return 0, err
	}
	if err := change(job); err != nil {
		return 0, err
	}
	if faults := rules.Check(job); len(faults) > 0 {
		return 0, faults
	}
	after, err := json.Marshal(job.Facts)
	if err != nil {
		return 0, err
	}
	m.changed = job
	m.revision++
	was, _ := json.Marshal(map[string]string{"facts": string(before)})
	is, _ := json.Marshal(map[string]string{"facts": string(after)})
	m.lines = append([]db.HistoryLine{{Revision: m.revision, At: readAt, Who: e.By.Name, Kind: "fact", Key: string(id), Was: was, Is: is}}, m.lines...)
	return m.revision, nil
}

func (m *memory) Rename(ctx context.Context, id scheduler.ID, e db.Edit, thing scheduler.Named, to scheduler.ID) (int64, error) {
	return m.Change(ctx, id, e, func(j *scheduler.Job) error {
		_, err := j.Rename(thing, to)
		return err
	})
}

func (m *memory) History(_ context.Context, _ scheduler.ID, _ int64, limit int) ([]db.HistoryLine, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.lines[:min(limit, len(m.lines))], nil
}

func (m *memory) Undo(context.Context, scheduler.ID, int64, bool, db.Edit) (int64, error) {
	return 0, db.ErrNotKept
}

func (m *memory) Revisions(context.Context, scheduler.ID, int64, int) ([]db.Revision, error) {
	return nil, nil
}

func (m *memory) JobAt(context.Context, scheduler.ID, int64) (*scheduler.Job, error) {
	return nil, db.ErrNotKept
}

func (m *memory) Issue(ctx context.Context, id scheduler.ID, e db.Edit, plan *scheduler.Plan, i scheduler.Issue) (letter string, revision int64, err error) {
	if _, newest, _ := m.Job(ctx, id); e.At != newest {
		return "", 0, &db.StaleError{At: e.At, Newest: newest}
	}
	revision, err = m.Change(ctx, id, e, func(j *scheduler.Job) (err error) {
		letter, err = j.Issue(plan, i)
		return err
	})
	if err != nil {
		return "", 0, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.sent == nil {
		m.sent = map[string]*db.IssuedPlan{}
	}
	m.sent[letter] = &db.IssuedPlan{Letter: letter, Revision: revision, MadeAt: readAt, By: e.By.Name, Plan: plan}
	return letter, revision, nil
}

func (m *memory) IssuedPlan(_ context.Context, _ scheduler.ID, letter string) (*db.IssuedPlan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if p := m.sent[letter]; p != nil {
		return p, nil
	}
	return nil, scheduler.ErrNotFound
}

func (m *memory) Shown(_ context.Context, _, trade scheduler.ID) ([]db.ShownWindow, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.shown[trade], nil
}

func (m *memory) Show(_ context.Context, _, trade scheduler.ID, _ int64, show func([]db.ShownWindow, time.Time) []db.ShownWindow) ([]db.ShownWindow, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.shown == nil {
		m.shown = map[scheduler.ID][]db.ShownWindow{}
	}
	m.shown[trade] = show(m.shown[trade], readAt)
	return m.shown[trade], nil
}

// readAt is the moment at which the tests read the pages.
var readAt = time.Date(2026, 6, 17, 9, 30, 0, 0, time.UTC)

// site is the pages of one job file over a memory, planned by the real planner.
type site struct {
	t      testing.TB
	echo   *echo.Echo
	pages  *Pages
	memory *memory
	job    string // "/jobs/…"
}

func newSite(t testing.TB, file string) *site {
	t.Helper()
	read, job := reader(t, file)
	m := &memory{read: read, revision: 1, head: db.JobHead{ID: job.ID, Title: job.Title, Changed: readAt}}
	s := siteOver(t, m, job.ID)
	s.memory = m
	return s
}

// newStoredSite is the pages of a job file over a real database.
func newStoredSite(t *testing.T, file string) *site {
	t.Helper()
	_, job := reader(t, file)
	store := dbtest.Open(t, func() time.Time { return readAt })
	if _, err := store.Put(t.Context(), job, db.By("load")); err != nil {
		t.Fatal(err)
	}
	return siteOver(t, store, job.ID)
}

// reader gives a job file as often as it is asked for, and once at once.
func reader(t testing.TB, file string) (func() *scheduler.Job, *scheduler.Job) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	read := func() *scheduler.Job {
		job, err := jobfile.Read(file, data)
		if err != nil {
			t.Fatal(err)
		}
		return job
	}
	return read, read()
}

func siteOver(t testing.TB, store office.Store, job scheduler.ID) *site {
	t.Helper()
	return siteWith(t, store, job, planOnce)
}

// planned are the plans that tests have asked for, by job and day: most begin with the
// same ones, and a plan of the same job is the same plan.
var planned sync.Map

func planOnce(ctx context.Context, job *scheduler.Job, asOf worktime.Date) (*scheduler.Plan, error) {
	text, err := json.Marshal(job)
	if err != nil {
		return nil, err
	}
	key := sha256.Sum256(append(text, asOf.String()...))
	if plan, ok := planned.Load(key); ok {
		return plan.(*scheduler.Plan), nil //nolint:forcetypeassert // nothing else is put there
	}
	plan, err := planner.Plan(ctx, job, planner.Options{AsOf: &asOf})
	if err == nil {
		planned.Store(key, plan)
	}
	return plan, err
}

// siteWith is one whose plans are made by somebody else.
func siteWith(t testing.TB, store office.Store, job scheduler.ID, plan func(context.Context, *scheduler.Job, worktime.Date) (*scheduler.Plan, error)) *site {
	t.Helper()
	now := func() time.Time { return readAt }
	o := office.New(store, now, zerolog.Nop(), office.WithPlanner(plan))
	t.Cleanup(o.Close)
	pages, err := New(o, Options{Now: now, People: newDesk(t, o)})
	if err != nil {
		t.Fatal(err)
	}
	e := echo.New()
	e.Use(askedOf(job))
	if err := pages.Register(e); err != nil {
		t.Fatal(err)
	}
	e.HTTPErrorHandler = func(err error, c echo.Context) { answerError(t, pages, err, c) }
	return &site{t: t, echo: e, pages: pages, job: "/jobs/" + string(job)}
}

// owner is the owner of everything.
var owner = signin.Visitor{Name: "owner", Account: uuid.New(), Session: uuid.New(), Steward: true, Role: scheduler.Owner}

// askedOf has whoever asks be a visitor, unless the request is somebody's already: a
// trade's own part is asked for by the link of the window setters, all else by the
// owner.
func askedOf(job scheduler.ID) echo.MiddlewareFunc {
	setters := signin.Visitor{Name: "the setters' link", Session: uuid.New(), Link: &signin.TradeLink{ID: uuid.New(), Job: job, Trade: "windows"}}
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if r := c.Request(); signin.From(r.Context()).Nobody() {
				visitor := owner
				if r.URL.Path == "/mine" || strings.HasPrefix(r.URL.Path, "/mine/") {
					visitor = setters
				}
				c.SetRequest(r.WithContext(signin.With(r.Context(), visitor)))
			}
			return next(c)
		}
	}
}

// answerError stands in for the one error handler of the service.
func answerError(t testing.TB, pages *Pages, err error, c echo.Context) {
	var h *echo.HTTPError
	status, what := http.StatusInternalServerError, "Something went wrong"
	switch {
	case c.Request().Context().Err() != nil, errors.Is(err, syscall.EPIPE), errors.Is(err, syscall.ECONNRESET):
		return // the browser has gone on to another page
	case errors.Is(err, scheduler.ErrNotFound), errors.Is(err, db.ErrNotKept):
		status, what = http.StatusNotFound, "There is no such thing"
	case errors.As(err, &h):
		status, what = h.Code, http.StatusText(h.Code)
	default:
		t.Errorf("%s: %v", c.Request().URL, err)
	}
	if err := pages.Error(c, status, what, ""); err != nil {
		t.Error(err)
	}
}

const demo = "../testdata/demo.job.yaml"

// get asks for a page and takes it apart.
func (s *site) get(path string) (*httptest.ResponseRecorder, *html.Node) {
	s.t.Helper()
	return s.ask(httptest.NewRequest(http.MethodGet, path, nil))
}

// post sends a form.
func (s *site) post(path string, fields url.Values) (*httptest.ResponseRecorder, *html.Node) {
	s.t.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.ask(r)
}

func (s *site) ask(r *http.Request) (*httptest.ResponseRecorder, *html.Node) {
	s.t.Helper()
	w := httptest.NewRecorder()
	s.echo.ServeHTTP(w, r)
	doc, err := html.Parse(strings.NewReader(w.Body.String()))
	if err != nil {
		s.t.Fatalf("%s is not HTML: %v", r.URL, err)
	}
	return w, doc
}
