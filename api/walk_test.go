package api

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// cast is everybody who may come to a site with two jobs: garden-studio, which is
// asked about, and next-door.
type cast struct {
	*site
	store *db.Store
	all   []actor
	nr    int
}

// actor is somebody who asks.
type actor struct {
	name    string
	visitor signin.Visitor            // who they are, said by the test; zero: nobody
	token   func(t *testing.T) string // a session of theirs, or what they have instead
}

const nextDoor = "/api/jobs/next-door"

func newCast(t *testing.T) *cast {
	t.Helper()
	t.Parallel()
	store := dbtest.Open(t, time.Now)
	c := &cast{site: newSiteOver(t, store).withExample().withPages(), store: store}
	c.putNextDoor()
	c.actor("nobody", signin.Visitor{}, func(*testing.T) string { return "" })
	c.actor("a token that was never given", signin.Visitor{}, func(*testing.T) string { return signin.NewSecret() })
	steward, err := store.Steward(t.Context(), "owner")
	if err != nil {
		t.Fatal(err)
	}
	known := uuid.New() // any session: the test's own idea of who asks needs one
	c.actor("the steward", signin.Visitor{Session: known, Account: steward.ID, Steward: true}, c.sessionOf(steward.ID))
	for _, role := range db.SeatRoles {
		id := c.account(string(role), "garden-studio", role)
		c.actor("the "+string(role), signin.Visitor{Session: known, Account: id, Role: role}, c.sessionOf(id))
	}
	outsider := c.account("outsider", "next-door", scheduler.Owner)
	c.actor("the owner of another job", signin.Visitor{Session: known, Account: outsider}, c.sessionOf(outsider))
	ended := c.sessionOf(outsider)
	c.actor("a session that was ended", signin.Visitor{}, func(t *testing.T) string {
		token := ended(t)
		if err := store.EndSession(t.Context(), db.HashOf(token)); err != nil {
			t.Fatal(err)
		}
		return token
	})
	owner := c.account("lapsed owner", "garden-studio", scheduler.Owner)
	c.actor("a session that has lapsed", signin.Visitor{}, func(t *testing.T) string {
		token := signin.NewSecret()
		if err := store.OpenSession(t.Context(), owner, db.HashOf(token), "a test", -time.Second); err != nil {
			t.Fatal(err)
		}
		return token
	})
	for _, l := range []struct{ name, job string }{{"a trade's link", "garden-studio"}, {"the link of a firm on another job", "next-door"}} {
		id, visit := c.link(scheduler.ID(l.job))
		c.actor(l.name, signin.Visitor{Session: known, Link: &signin.TradeLink{ID: id, Job: scheduler.ID(l.job), Trade: "cladding"}}, visit)
	}
	revoked, visit := c.link("garden-studio")
	token := visit(t)
	if err := store.RevokeTradeLink(t.Context(), "garden-studio", revoked); err != nil {
		t.Fatal(err)
	}
	c.actor("a link that was taken back", signin.Visitor{}, func(*testing.T) string { return token })
	return c
}

func (c *cast) actor(name string, v signin.Visitor, token func(*testing.T) string) {
	c.all = append(c.all, actor{name: name, visitor: v, token: token})
}

// find is the actor of a name.
func (c *cast) find(name string) actor {
	c.t.Helper()
	k := slices.IndexFunc(c.all, func(a actor) bool { return a.name == name })
	if k < 0 {
		c.t.Fatalf("nobody is called %q", name)
	}
	return c.all[k]
}

func (c *cast) account(name string, job scheduler.ID, role scheduler.Role) uuid.UUID {
	c.t.Helper()
	id, err := c.store.AddAccount(c.t.Context(), name, "", db.Seat{Job: job, Role: role})
	if err != nil {
		c.t.Fatal(err)
	}
	return id
}

// sessionOf opens a new session each time: some of what is asked ends it.
func (c *cast) sessionOf(account uuid.UUID) func(*testing.T) string {
	return func(t *testing.T) string {
		t.Helper()
		token := signin.NewSecret()
		if err := c.store.OpenSession(t.Context(), account, db.HashOf(token), "a test", time.Hour); err != nil {
			t.Fatal(err)
		}
		return token
	}
}

func (c *cast) link(job scheduler.ID) (uuid.UUID, func(*testing.T) string) {
	c.t.Helper()
	secret := signin.NewSecret()
	link, err := c.store.AddTradeLink(c.t.Context(), db.TradeLink{Job: job, Trade: "cladding", Label: "Gang of three", By: "a test"},
		db.HashOf(secret), db.HashOf(signin.NewSecret()), time.Hour)
	if err != nil {
		c.t.Fatal(err)
	}
	return link.ID, func(t *testing.T) string {
		t.Helper()
		token := signin.NewSecret()
		if _, err := c.store.VisitTradeLink(t.Context(), db.HashOf(secret), db.HashOf(token), "a test"); err != nil {
			t.Fatal(err)
		}
		return token
	}
}

// putNextDoor puts a second job there.
func (c *cast) putNextDoor() {
	c.t.Helper()
	data, err := os.ReadFile(exampleFile)
	if err != nil {
		c.t.Fatal(err)
	}
	job, err := jobfile.Read(exampleFile, data)
	if err != nil {
		c.t.Fatal(err)
	}
	job.ID, job.Title = "next-door", "Hidden barn next door"
	if _, err := c.store.Put(context.Background(), job, db.By("test")); err != nil {
		c.t.Fatal(err)
	}
}

// by has a request made by an actor.
func (a actor) by(t *testing.T) with {
	return func(r *http.Request) {
		r.Header.Del("Authorization")
		if token := a.token(t); token != "" {
			r.Header.Set("Authorization", "Bearer "+token)
		}
	}
}

// What an answer is, to somebody who would get in.
const (
	answered = "an answer"
	signedIn = "to sign in first"
	unseen   = "that there is no such job"
	turned   = "who may"
	sentHome = "the way to its own part"
)

// kindOf is which of these an answer is.
func kindOf(got answer) string {
	body := strings.NewReplacer("&#34;", `"`, `\"`, `"`).Replace(string(got.body))
	to := got.header.Get("Location")
	switch {
	case got.status == http.StatusUnauthorized, got.status == http.StatusSeeOther && strings.HasPrefix(to, signin.Path+"?"), got.status == http.StatusSeeOther && to == signin.Path:
		return signedIn
	case got.status == http.StatusNotFound && strings.Contains(body, `no such thing: job "`):
		return unseen
	case got.status == http.StatusForbidden && (strings.Contains(body, "may do that.") || strings.Contains(body, "opens that.") || strings.Contains(body, "needs an account.")):
		return turned
	case got.status == http.StatusSeeOther && to == signin.HomePath:
		return sentHome
	case got.status >= http.StatusInternalServerError:
		return fmt.Sprintf("a breakdown, %d: %.300s", got.status, got.body)
	}
	return answered
}

// filled is a declared address with something in place of each parameter.
func filled(path, job string) string {
	parts := strings.Split(path, "/")
	for k, p := range parts {
		name, is := strings.CutPrefix(p, ":")
		switch {
		case p == "*":
			parts[k] = "style.css"
		case !is:
		case name == "job":
			parts[k] = job
		case name == "account", name == "link", name == "session":
			parts[k] = uuid.NewString()
		case name == "revision":
			parts[k] = "1"
		case name == "letter":
			parts[k] = "A"
		case name == "step":
			parts[k] = "frame"
		case name == "trade":
			parts[k] = "cladding"
		default:
			parts[k] = "nothing"
		}
	}
	return strings.Join(parts, "/")
}

// TestEveryRouteInEveryRole asks each declared route of the running service, as each
// of those who may come, and holds what comes back against the table.
func TestEveryRouteInEveryRole(t *testing.T) {
	c := newCast(t)
	table := rights.Service.And(rights.API, rights.Pages)
	routes := c.server.echo.Routes()
	if len(routes) < 100 || len(c.all) < 12 {
		t.Fatalf("only %d routes and %d who ask", len(routes), len(c.all))
	}
	for _, r := range routes {
		who, ok := table[rights.Key(r.Method, r.Path)]
		if !ok {
			t.Errorf("%s %s is not in the table", r.Method, r.Path)
			continue
		}
		for _, a := range c.all {
			got := c.anyway(r.Method, filled(r.Path, "garden-studio"), a.by(t))
			want := answered
			switch {
			case who.May(a.visitor):
			case a.visitor.Nobody():
				want = signedIn
			case a.visitor.Link != nil && r.Path == "/":
				want = sentHome
			case strings.Contains(r.Path+"/", "/:job/") && a.visitor.Role == "" && !a.visitor.Steward:
				want = unseen
			default:
				want = turned
			}
			if r.Path == signin.OutPath {
				want = signedIn // that is where it leads
			}
			if kind := kindOf(got); kind != want {
				t.Errorf("%s %s: %s gets %s (%d), and by the table %s: %.300s", r.Method, r.Path, a.name, kind, got.status, want, got.body)
			}
			if strings.Contains(string(got.body), "Hidden barn") && a.name != "the steward" && a.name != "the owner of another job" && !strings.Contains(a.name, "another job") {
				t.Errorf("%s %s tells %s of the other job: %.300s", r.Method, r.Path, a.name, got.body)
			}
		}
	}
}

// anyway sends a request with whatever body the route may take, which need not be
// one that it does take.
func (c *cast) anyway(method, path string, withs ...with) answer {
	c.t.Helper()
	body, kind := "", ""
	switch {
	case method == http.MethodGet:
	case strings.HasSuffix(path, jobFilePath):
		body, kind = "nothing: of this", yamlType
	case strings.HasPrefix(path, prefix+"/"):
		body, kind = "{}", "application/json"
	default:
		body, kind = "a=b", "application/x-www-form-urlencoded"
	}
	c.nr++ // a door lets only so many try from one address
	from := fmt.Sprintf("10.%d.%d.%d:1", c.nr>>16&255, c.nr>>8&255, c.nr&255)
	return c.send(method, path, body, append(withs, func(r *http.Request) {
		r.RemoteAddr = from
		if kind != "" {
			r.Header.Set("Content-Type", kind)
		}
	})...)
}

// TestRightsAsWritten holds the service, not the table, against what was agreed of
// each role.
func TestRightsAsWritten(t *testing.T) {
	c := newCast(t)
	const o, d, s, r, x, l, n = "the owner", "the designer", "the site lead", "the reader", "the owner of another job", "a trade's link", "nobody"
	for _, e := range []struct {
		request string
		may     []string
	}{
		{"GET /api/jobs/garden-studio/plan", []string{o, d, s, r}},
		{"GET /api/jobs/garden-studio/file", []string{o, d, s, r}},
		{"GET /api/jobs/garden-studio/history", []string{o, d, s, r}},
		{"GET /jobs/garden-studio", []string{o, d, s, r}},
		{"PUT /api/jobs/garden-studio/file", []string{o}},
		{"PUT /api/jobs/garden-studio/as-of", []string{o}},
		{"PUT /api/jobs/garden-studio/pins/frame", []string{o}},
		{"PUT /api/jobs/garden-studio/dues/handover", []string{o}},
		{"POST /api/jobs/garden-studio/issues", []string{o}},
		{"POST /api/jobs/garden-studio/people", []string{o}},
		{"POST /jobs/garden-studio/people", []string{o}},
		{"POST /api/jobs/garden-studio/waivers", []string{o, d}},
		{"GET /api/jobs/garden-studio/trials", []string{o, d, s, r}},
		{"POST /api/jobs/garden-studio/trials", []string{o, d, s}},
		{"POST /api/jobs/garden-studio/trials/1/adopt", []string{o, d, s}},
		{"POST /api/jobs/garden-studio/names", []string{o, d}},
		{"POST /api/jobs/garden-studio/holds/nothing/release", []string{o, d, s}},
		{"POST /jobs/garden-studio/steps/frame/refuse", []string{o, d, s}},
		{"PATCH /api/jobs/garden-studio/facts/frame", []string{o, s}},
		{"POST /jobs/garden-studio/steps/frame/progress", []string{o, s}},
		{"PUT /api/jobs/garden-studio/trades/cladding/crews", []string{o, s}},
		{"PUT /api/jobs/garden-studio/trades/cladding/off", []string{o, s}},
		{"POST /api/jobs/garden-studio/alerts/aside", []string{o, s}},
		{"POST /api/jobs/garden-studio/links", []string{o, s}},
		{"GET /api/accounts", nil},
		{"GET /api/you", []string{o, d, s, r, x}},
		{"GET /you", []string{o, d, s, r, x}},
		{"GET /api/jobs", []string{o, d, s, r, x}},
		{"DELETE /api/sessions", []string{o, d, s, r, x, l}},
		{"GET /healthz", []string{o, d, s, r, x, l, n}},
	} {
		method, path, _ := strings.Cut(e.request, " ")
		for _, name := range []string{o, d, s, r, x, l, n} {
			kind := kindOf(c.anyway(method, path, c.find(name).by(t)))
			if may := slices.Contains(e.may, name); may != (kind == answered) {
				t.Errorf("%s: %s gets %s, and was agreed to be let in: %v", e.request, name, kind, may)
			}
		}
	}
}

// TestRefusalsSayWhoMay: who is known is told who may, and nothing is changed.
func TestRefusalsSayWhoMay(t *testing.T) {
	c := newCast(t)
	before := c.get(garden).header.Get("ETag")
	got := c.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10"}`, c.find("the reader").by(t))
	got.problem(http.StatusForbidden, "not-allowed", "Only the owner or the site lead of the job may do that.")
	c.send("PUT", garden+"/as-of", `{}`, c.find("the site lead").by(t)).problem(http.StatusForbidden, "not-allowed", "Only the owner of the job may do that.")
	c.get("/api/accounts", c.find("the owner").by(t)).problem(http.StatusForbidden, "not-allowed", "the owner of the machine")
	c.get("/api/you", c.find("a trade's link").by(t)).problem(http.StatusForbidden, "not-allowed", "/mine")
	if after := c.get(garden).header.Get("ETag"); after != before {
		t.Errorf("the job was %s and is %s", before, after)
	}
	c.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10"}`, c.find("the site lead").by(t)).want(http.StatusOK)
	lines := into[HistoryBody](c.get(garden + "/history")).Lines
	if len(lines) == 0 || lines[0].Who != "site lead" {
		t.Errorf("the history says %+v", lines)
	}
}

// TestAJobOfOthersLooksLikeNone: the answers do not differ in a letter.
func TestAJobOfOthersLooksLikeNone(t *testing.T) {
	c := newCast(t)
	for _, name := range []string{"the owner of another job", "a trade's link", "the link of a firm on another job"} {
		a := c.find(name)
		for _, e := range []string{"GET /api/jobs/%s/plan", "PUT /api/jobs/%s/file", "GET /jobs/%s", "POST /jobs/%s/steps/frame/release", "GET /api/jobs/%s/events"} {
			method, pattern, _ := strings.Cut(e, " ")
			there := c.anyway(method, fmt.Sprintf(pattern, "garden-studio"), a.by(t))
			never := c.anyway(method, fmt.Sprintf(pattern, "never-was-one"), a.by(t))
			plain := func(got answer, job string) string {
				text := strings.ReplaceAll(string(got.body), job, "JOB")
				return strings.ReplaceAll(text, got.header.Get(requestIDHeader), "ID")
			}
			if there.status != http.StatusNotFound || never.status != there.status || plain(there, "garden-studio") != plain(never, "never-was-one") {
				t.Errorf("%s, %s: one that is there is answered\n%d %s\none that is not\n%d %s", name, e, there.status, there.body, never.status, never.body)
			}
		}
	}
}

// TestListsShowOwnJobsOnly: in the API and on the page.
func TestListsShowOwnJobsOnly(t *testing.T) {
	c := newCast(t)
	for name, want := range map[string][]scheduler.ID{
		"the reader": {"garden-studio"}, "the owner of another job": {"next-door"}, "the steward": {"garden-studio", "next-door"},
	} {
		var got []scheduler.ID
		for _, j := range into[JobsBody](c.get("/api/jobs", c.find(name).by(t)).want(http.StatusOK)).Jobs {
			got = append(got, j.ID)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s sees %v, want %v", name, got, want)
		}
		page := string(c.get("/", c.find(name).by(t)).want(http.StatusOK).body)
		for _, job := range []scheduler.ID{"garden-studio", "next-door"} {
			if strings.Contains(page, `href="/jobs/`+string(job)+`"`) != slices.Contains(want, job) {
				t.Errorf("%s sees on the page: %s", name, page)
			}
		}
	}
}

// TestALiveStreamEndsWithItsRights: who is put out does not go on listening.
func TestALiveStreamEndsWithItsRights(t *testing.T) {
	c := newCast(t)
	c.server.guard.Again = 20 * time.Millisecond
	c.token = c.find("the reader").token(t)
	r := run(t, c.site)
	next := events(t, r.open(t, garden+"/events"))
	next()
	if err := c.store.DropSeat(t.Context(), c.find("the reader").visitor.Account, "garden-studio", true); err != nil {
		t.Fatal(err)
	}
	for ended := false; !ended; {
		ended = next() == "end"
	}
	r.stop()
	r.stopped(t)
}
