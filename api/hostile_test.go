package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// hostileRequests is how many hostile requests are sent when nobody says another
// number in GAUGEROD_HOSTILE; make soak sends 10,000.
const hostileRequests = 900

// world is two jobs of two owners, who know nothing of each other, with everybody who
// may come to them, and words by which one sees whose something is.
type world struct {
	*site
	db     *db.Store
	conn   *pgx.Conn
	bad    int    // requests of which something bad came
	last   string // how far transactions had come after the last request
	others string // what was kept beside the jobs then
	who    map[string]*intruder
	names  []string // of who, in order
	jobs   []scheduler.ID
	files  map[string]string
}

// intruder is somebody with a session, and the words that they must never see.
type intruder struct {
	token  string
	job    string        // theirs, empty: none
	again  func() string // opens another session; nil: there is none to be had
	hidden []string
}

// Words that stand in one job alone, or are one firm's.
const (
	wordOfFirst  = "hollyhock"
	wordOfSecond = "quincetree"
	wordOfFirm   = "larkspur-of-" // and the firm's name
)

// marked is the example job with words in it by which it is known: in its title, and
// in the notes of each firm's tasks.
func marked(t *testing.T, id scheduler.ID, word string) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile(exampleFile)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read(exampleFile, data)
	if err != nil {
		t.Fatal(err)
	}
	job.ID, job.Title = id, "Studio of "+word
	for k := range job.People {
		job.People[k].Name += " of " + word
	}
	for k := range job.Places {
		job.Places[k].Title += " by the " + word
	}
	for k := range job.Tasks {
		for _, trade := range job.Tasks[k].Trades {
			job.Tasks[k].Note = word + ", " + wordOfFirm + string(trade)
		}
	}
	return job
}

func newWorld(t *testing.T) *world {
	t.Helper()
	address := dbtest.Address(t)
	store, err := db.Open(t.Context(), address, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	conn, err := pgx.Connect(t.Context(), address[:strings.LastIndex(address, "&pool_max_conns")])
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	w := &world{site: newWholeSite(t, store), db: store, conn: conn, who: map[string]*intruder{}, jobs: []scheduler.ID{"garden-studio", "garden-shed"}, files: map[string]string{}}
	ctx := t.Context()
	// Sign-in is not held back, or little else would be tried.
	var hours atomic.Int64
	w.server.limiter = newLimiter(func() time.Time { return time.Unix(3600*hours.Add(1), 0) }, mostLimited)
	for k, word := range []string{wordOfFirst, wordOfSecond} {
		job := marked(t, w.jobs[k], word)
		if _, err := store.Put(ctx, job, db.By("the test")); err != nil {
			t.Fatal(err)
		}
		text, err := jobfile.Write(job)
		if err != nil {
			t.Fatal(err)
		}
		w.files[string(job.ID)] = string(text)
	}
	w.files["barn"] = strings.Replace(w.files["garden-studio"], "job: garden-studio", "job: barn", 1) // there is none
	w.people(ctx)
	w.names = slices.Sorted(maps.Keys(w.who))
	return w
}

// people gives everybody a session.
func (w *world) people(ctx context.Context) {
	w.t.Helper()
	must := func(err error) {
		w.t.Helper()
		if err != nil {
			w.t.Fatal(err)
		}
	}
	open := func(secret string) string {
		o, err := w.server.keeper.Open(ctx, secret, "a test")
		must(err)
		return o.Token
	}
	w.who["steward"] = &intruder{job: string(w.jobs[0]), again: func() string {
		secret, err := w.server.keeper.Printed(ctx)
		must(err)
		return open(secret)
	}}
	w.who["nobody"] = &intruder{hidden: []string{wordOfFirst, wordOfSecond}}
	for k, job := range w.jobs {
		hidden := []string{wordOfSecond, wordOfFirst}[k]
		for _, role := range []scheduler.Role{scheduler.Owner, scheduler.Designer, scheduler.SiteLead, scheduler.Reader} {
			name := fmt.Sprintf("%s of %s", role, job)
			account, err := w.db.AddAccount(ctx, name, strings.ReplaceAll(name, " ", ".")+"@site.example", db.Seat{Job: job, Role: role})
			must(err)
			w.who[name] = &intruder{job: string(job), hidden: []string{hidden}, again: func() string {
				secret, err := w.server.keeper.Shown(ctx, account)
				if err != nil {
					return "" // the account has been closed meanwhile
				}
				return open(secret)
			}}
		}
		for _, trade := range []scheduler.ID{"cladding", "framing"} {
			others := []string{hidden}
			for _, t := range []string{"cladding", "framing", "painting"} {
				if t != string(trade) {
					others = append(others, wordOfFirm+t)
				}
			}
			w.who[fmt.Sprintf("%s of %s", trade, job)] = &intruder{hidden: others, again: func() string { return open(w.link(ctx, job, trade)) }}
		}
	}
	gone := open(w.link(ctx, w.jobs[0], "cladding"))
	links, err := w.db.TradeLinks(ctx, w.jobs[0])
	must(err)
	for _, l := range links {
		must(w.db.RevokeTradeLink(ctx, l.Job, l.ID))
	}
	w.who["a link that was revoked"] = &intruder{token: gone, hidden: []string{wordOfFirst, wordOfSecond}}
	for _, i := range w.who {
		if i.again != nil {
			i.token = i.again()
		}
	}
}

// link is the secret of a new private link.
func (w *world) link(ctx context.Context, job, trade scheduler.ID) string {
	w.t.Helper()
	secret := signin.NewSecret()
	_, err := w.db.AddTradeLink(ctx, db.TradeLink{Job: job, Trade: trade, Label: string(trade), By: "the test"}, db.HashOf(secret), db.HashOf(signin.NewSecret()), time.Hour)
	if err != nil {
		w.t.Fatal(err)
	}
	return secret
}

// state is what must not change without an answer that says so.
type state struct {
	revision int64
	digest   [sha256.Size]byte
}

func (w *world) states(ctx context.Context) map[scheduler.ID]state {
	w.t.Helper()
	all := map[scheduler.ID]state{}
	for _, id := range w.jobs {
		job, revision, err := w.db.Job(ctx, id)
		if err != nil {
			w.t.Fatal(err)
		}
		text, err := jobfile.Write(job)
		if err != nil {
			w.t.Fatalf("%s cannot be written: %v", id, err)
		}
		all[id] = state{revision, sha256.Sum256(text)}
	}
	return all
}

// beside is what is kept beside the jobs: accounts, seats, links, attachments, sessions. When a
// session was last seen does not count, nor what is swept away because it has lapsed.
func (w *world) beside(ctx context.Context) (digest string) {
	w.t.Helper()
	err := w.conn.QueryRow(ctx, `
		SELECT md5(string_agg(line, E'\n' ORDER BY line)) FROM (
			SELECT 'account ' || a::text FROM account a UNION ALL
			SELECT 'seat ' || s::text FROM seat s UNION ALL
			SELECT 'trade link ' || (l.id, l.trade, l.label, l.secret, l.calendar, l.expires_at, l.revoked_at)::text FROM trade_link l UNION ALL
			SELECT 'attachment ' || (x.id, x.step, x.name, x.removed_at)::text FROM attachment x UNION ALL
			SELECT 'session ' || (s.id, s.account, s.ended_at)::text FROM session s
		) AS kept(line)`).Scan(&digest)
	if err != nil {
		w.t.Fatal(err)
	}
	return digest
}

// written goes on with each transaction that writes anything at all.
func (w *world) written(ctx context.Context) (transaction string) {
	w.t.Helper()
	if err := w.conn.QueryRow(ctx, `SELECT pg_snapshot_xmax(pg_current_snapshot())::text`).Scan(&transaction); err != nil {
		w.t.Fatal(err)
	}
	return transaction
}

// streamed is an answer that ends an event stream once it has begun.
type streamed struct {
	*httptest.ResponseRecorder
	end context.CancelFunc
}

func (s streamed) Flush() {
	s.ResponseRecorder.Flush()
	if s.Header().Get("Content-Type") == "text/event-stream" {
		s.end()
	}
}

func (s streamed) SetWriteDeadline(time.Time) error { return nil }

// TestHostileRequests sends what nobody should send, as everybody who can come to the
// service: nothing breaks it, what is turned away changes nothing, what is taken
// leaves a job that is sound, and nobody sees what is another's.
func TestHostileRequests(t *testing.T) {
	n := hostileRequests
	if text := os.Getenv("GAUGEROD_HOSTILE"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil {
			t.Fatal(err)
		}
	}
	seed := uint64(time.Now().UnixNano())
	if text := os.Getenv("GAUGEROD_HOSTILE_SEED"); text != "" {
		var err error
		if seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("GAUGEROD_HOSTILE_SEED=%d", seed)
	w := newWorld(t)
	m := newMaker(t, w.site, []string{"garden-studio", "garden-shed", "barn"}, w.files)
	counts := map[string]int{}
	was := w.states(t.Context())
	w.others = w.beside(t.Context())
	for k := range n {
		r := rand.New(rand.NewPCG(seed, uint64(k)))
		was = w.hostile(r, m, k, was, counts)
		if w.bad > 10 {
			t.Fatalf("number %d of %d", k, n)
		}
	}
	t.Logf("%d requests: %v", n, counts)
	if n >= 500 && (counts["2xx"] < n/20 || counts["4xx"] < n/20 || counts["changes"] == 0 || counts["changes beside"] == 0) {
		t.Errorf("the requests are too much alike: %v", counts)
	}
}

// hostile sends one request and looks at everything that came of it.
func (w *world) hostile(r *rand.Rand, m *maker, k int, was map[scheduler.ID]state, counts map[string]int) map[scheduler.ID]state {
	w.t.Helper()
	ctx, end := context.WithTimeout(context.Background(), 2*time.Minute)
	defer end()
	name := one(r, w.names...)
	if chance(r, 2) { // or nearly all would be turned away for that alone
		name = one(r, "steward", "owner of garden-studio", "owner of garden-shed", "cladding of garden-studio")
	}
	from := w.who[name]
	q := m.request(r, from.job)
	if from.token != "" {
		if chance(r, 3) {
			q.AddCookie(&http.Cookie{Name: signin.CookieName, Value: from.token})
		} else {
			q.Header.Set("Authorization", "Bearer "+from.token)
		}
	}
	body, err := io.ReadAll(q.Body)
	if q.Body = io.NopCloser(bytes.NewReader(body)); err != nil {
		q.Body = io.NopCloser(io.MultiReader(bytes.NewReader(body), broken{}))
	}
	told := fmt.Sprintf("number %d by %s: %s %s\n%v\n%.1500q", k, name, q.Method, q.RequestURI, q.Header, body)
	answer := httptest.NewRecorder()
	w.server.Handler().ServeHTTP(streamed{answer, end}, q.WithContext(ctx))

	counts[strconv.Itoa(answer.Code/100)+"xx"]++
	if answer.Code >= 500 || answer.Code < 200 {
		w.fail("%s\n%d %s\n%s", told, answer.Code, answer.Body, w.lastOfLog())
	}
	for _, word := range from.hidden {
		if strings.Contains(answer.Body.String(), word) || strings.Contains(fmt.Sprint(answer.Header()), word) {
			w.fail("%s\nsees %q: %d %.3000s", told, word, answer.Code, answer.Body)
		}
	}
	is, written := was, w.written(context.Background())
	if written != w.last {
		is, w.last = w.states(context.Background()), w.written(context.Background())
		others := w.beside(context.Background())
		if others != w.others {
			counts["changes beside"]++
		}
		if others != w.others && answer.Code >= 400 {
			w.fail("%s\nwas turned away with %d and changed accounts, seats, links, attachments or sessions: %s", told, answer.Code, answer.Body)
		}
		w.others = others
	}
	changed := false
	for id := range is {
		changed = changed || is[id] != was[id]
		if is[id].revision < was[id].revision || is[id].revision == was[id].revision && is[id].digest != was[id].digest {
			w.fail("%s\n%s went from revision %d to %d, and is another though no revision says so", told, id, was[id].revision, is[id].revision)
		}
	}
	if changed {
		counts["changes"]++
		if answer.Code >= 400 {
			w.fail("%s\nwas turned away with %d and changed something: %s", told, answer.Code, answer.Body)
		}
		w.sound(told)
	}
	if answer.Code == http.StatusUnauthorized && from.again != nil || strings.HasPrefix(answer.Header().Get("Location"), signin.Path) && from.again != nil {
		from.token = from.again() // it was signed out, by itself or by another
		w.others = w.beside(context.Background())
	}
	return is
}

// fail tells of something bad.
func (w *world) fail(format string, args ...any) {
	w.t.Helper()
	w.bad++
	w.t.Errorf(format, args...)
}

// sound asks whether both jobs can still be read, written and planned.
func (w *world) sound(told string) {
	w.t.Helper()
	for _, id := range w.jobs {
		job, _, err := w.db.Job(context.Background(), id)
		if err != nil {
			w.t.Fatal(err)
		}
		text, err := jobfile.Write(job)
		if err != nil {
			w.fail("%s\nleft a job that cannot be written: %v", told, err)
		}
		if _, err := jobfile.Read("", text); err != nil {
			w.fail("%s\nleft a job that is not sound: %v", told, err)
		}
		if _, err := w.server.office.Sheet(context.Background(), id, nil); err != nil {
			w.fail("%s\nleft a job that cannot be planned: %v", told, err)
		}
	}
}

// lastOfLog is what the log said last.
func (w *world) lastOfLog() string {
	all := strings.Split(strings.TrimSpace(w.log.String()), "\n")
	return strings.Join(all[max(0, len(all)-3):], "\n")
}
