package signin_test

import (
	"errors"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

func TestMain(m *testing.M) {
	code := dbtest.Main(m)
	if code == 0 {
		if err := goleak.Find(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

// clock is a clock that tests set.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

// house is a service with a database of its own, in which there is one job.
type house struct {
	*signin.Keeper
	t       *testing.T
	store   *db.Store
	clock   *clock
	address string
}

const (
	job   = "garden-studio"
	trade = "cladding"
)

func newHouse(t *testing.T) *house {
	t.Helper()
	t.Parallel()
	h := &house{t: t, clock: &clock{time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)}, address: dbtest.Address(t)}
	h.store = h.open()
	h.Keeper = h.keeper()
	const file = "../../testdata/every-feature.job.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	j, err := jobfile.Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := h.store.Put(t.Context(), j, db.By("test")); err != nil {
		t.Fatal(err)
	}
	return h
}

func (h *house) open() *db.Store {
	h.t.Helper()
	store, err := db.Open(h.t.Context(), h.address, h.clock.now)
	if err != nil {
		h.t.Fatal(err)
	}
	h.t.Cleanup(store.Close)
	return store
}

// keeper is one more instance over the same database.
func (h *house) keeper() *signin.Keeper {
	k := signin.New(h.store, h.clock.now, zerolog.Nop())
	k.Base = "https://site.example"
	h.t.Cleanup(k.Close)
	return k
}

// printed is the secret of a new printed link.
func (h *house) printed() string {
	h.t.Helper()
	secret, err := h.Printed(h.t.Context())
	if err != nil {
		h.t.Fatal(err)
	}
	return secret
}

// opened is the token of a session that a secret opens.
func (h *house) opened(secret string) string {
	h.t.Helper()
	o, err := h.Open(h.t.Context(), secret, "a test")
	if err != nil {
		h.t.Fatal(err)
	}
	return o.Token
}

// somebody is a new account with a seat on the job.
func (h *house) somebody(name, email string, role scheduler.Role) db.Account {
	h.t.Helper()
	id, err := h.store.AddAccount(h.t.Context(), name, email, db.Seat{Job: job, Role: role})
	if err != nil {
		h.t.Fatal(err)
	}
	a, err := h.store.Account(h.t.Context(), id)
	if err != nil {
		h.t.Fatal(err)
	}
	return a
}

// tradeLink is a new link for thirty days, with its two secrets.
func (h *house) tradeLink() (link db.TradeLink, secret, calendar string) {
	h.t.Helper()
	secret, calendar = signin.NewSecret(), signin.NewSecret()
	link, err := h.store.AddTradeLink(h.t.Context(), db.TradeLink{Job: job, Trade: trade, Label: "Gang of three", By: "owner"},
		db.HashOf(secret), db.HashOf(calendar), 30*24*time.Hour)
	if err != nil {
		h.t.Fatal(err)
	}
	return link, secret, calendar
}

func (h *house) asker(k *signin.Keeper, token string) signin.Visitor {
	h.t.Helper()
	v, err := k.Identify(bearing(token), job)
	if err != nil {
		h.t.Fatal(err)
	}
	return v
}

func TestPrintedLinkOpensOneSession(t *testing.T) {
	h := newHouse(t)
	secret := h.printed()
	if len(secret) < 43 {
		t.Fatalf("secret of %d characters: less than 32 bytes", len(secret))
	}
	token := h.opened(secret)
	if v := h.asker(h.Keeper, token); v.Name != "owner" || !v.Steward || v.Role != scheduler.Owner || v.Link != nil {
		t.Fatalf("session of %+v", v)
	}
	if _, err := h.Open(t.Context(), secret, ""); !errors.Is(err, signin.ErrSpent) {
		t.Fatalf("the secret opened twice: %v", err)
	}
	for _, wrong := range []string{"", "guess", secret, token + "x", token[1:]} {
		if v := h.asker(h.Keeper, wrong); !v.Nobody() {
			t.Fatalf("%q is a session of %+v", wrong, v)
		}
	}
	if err := h.End(t.Context(), token); err != nil {
		t.Fatal(err)
	}
	if v := h.asker(h.Keeper, token); !v.Nobody() {
		t.Fatal("the session outlived its end")
	}
	if err := h.End(t.Context(), ""); err != nil {
		t.Errorf("to end no session: %v", err)
	}
	again := h.asker(h.Keeper, h.opened(h.printed()))
	if again.Account != h.asker(h.Keeper, h.opened(h.printed())).Account {
		t.Error("two links of the machine's owner are of two accounts")
	}
}

// TestASecretIsSpentOnce: of many who spend it at once, one gets a session.
func TestASecretIsSpentOnce(t *testing.T) {
	h := newHouse(t)
	secret := h.printed()
	got := make(chan error)
	for range 8 {
		go func() {
			_, err := h.Open(t.Context(), secret, "")
			got <- err
		}()
	}
	opened := 0
	for range 8 {
		switch err := <-got; {
		case err == nil:
			opened++
		case !errors.Is(err, signin.ErrSpent):
			t.Error(err)
		}
	}
	if opened != 1 {
		t.Errorf("%d sessions for one secret", opened)
	}
}

// TestRestartAndOtherInstancesKnowSessions: what one keeper opens and ends, another
// over the same database knows at once.
func TestRestartAndOtherInstancesKnowSessions(t *testing.T) {
	h := newHouse(t)
	one := h.opened(h.printed())
	other := signin.New(h.open(), h.clock.now, zerolog.Nop())
	defer other.Close()
	if v := h.asker(other, one); v.Name != "owner" {
		t.Fatalf("another instance knows %+v", v)
	}
	if _, err := other.Open(t.Context(), h.printed(), ""); err != nil {
		t.Errorf("a link that another instance printed: %v", err)
	}
	if err := other.End(t.Context(), one); err != nil {
		t.Fatal(err)
	}
	if v := h.asker(h.Keeper, one); !v.Nobody() {
		t.Error("ended on another instance, and still open here")
	}
}

func TestLapses(t *testing.T) {
	h := newHouse(t)
	old := h.printed()
	h.clock.at = h.clock.at.Add(24 * time.Hour)
	if _, err := h.Open(t.Context(), old, ""); !errors.Is(err, signin.ErrSpent) {
		t.Fatalf("a link of yesterday opened: %v", err)
	}
	token := h.opened(h.printed())
	h.clock.at = h.clock.at.Add(30*24*time.Hour - time.Second)
	if h.asker(h.Keeper, token).Nobody() {
		t.Fatal("the session ended early")
	}
	h.clock.at = h.clock.at.Add(time.Second)
	if !h.asker(h.Keeper, token).Nobody() {
		t.Fatal("the session never ends")
	}
	kim := h.somebody("Kim", "kim@people.example", scheduler.Reader)
	shown, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	h.clock.at = h.clock.at.Add(7 * 24 * time.Hour)
	if _, err := h.Open(t.Context(), shown, ""); !errors.Is(err, signin.ErrSpent) {
		t.Fatalf("a link of last week opened: %v", err)
	}
	_, secret, _ := h.tradeLink()
	visit := h.opened(secret)
	h.clock.at = h.clock.at.Add(30 * 24 * time.Hour)
	if !h.asker(h.Keeper, visit).Nobody() {
		t.Error("a trade's session outlives its link")
	}
	if _, err := h.Open(t.Context(), secret, ""); !errors.Is(err, signin.ErrSpent) {
		t.Errorf("a trade's link that has lapsed: %v", err)
	}
}

func TestTradeLinkServesManyDevicesUntilRevoked(t *testing.T) {
	h := newHouse(t)
	link, secret, calendar := h.tradeLink()
	phones := []string{h.opened(secret), h.opened(secret), h.opened(secret)}
	for _, phone := range phones {
		v := h.asker(h.Keeper, phone)
		if v.Link == nil || v.Link.ID != link.ID || v.Link.Job != job || v.Link.Trade != trade || v.Name != "Gang of three" || v.Role != "" || v.Steward {
			t.Fatalf("the link opens a session of %+v", v)
		}
		if by := v.Author(); by.Link != link.ID || by.Name != "Gang of three" || by.Account != (db.Author{}).Account {
			t.Errorf("the history would say %+v", by)
		}
	}
	if got, err := h.store.TradeLinkOfCalendar(t.Context(), db.HashOf(calendar)); err != nil || got.ID != link.ID {
		t.Errorf("calendar of %+v, %v", got, err)
	}
	// Neither secret does what the other does.
	if _, err := h.Open(t.Context(), calendar, ""); !errors.Is(err, signin.ErrSpent) {
		t.Errorf("the calendar's secret opened a session: %v", err)
	}
	if _, err := h.store.TradeLinkOfCalendar(t.Context(), db.HashOf(secret)); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("the link's secret opened the calendar: %v", err)
	}
	if err := h.store.RevokeTradeLink(t.Context(), "another-job", link.ID); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("revoked from another job: %v", err)
	}
	if err := h.store.RevokeTradeLink(t.Context(), job, link.ID); err != nil {
		t.Fatal(err)
	}
	for _, phone := range phones {
		if v := h.asker(h.Keeper, phone); !v.Nobody() {
			t.Errorf("revoked, and still %+v", v)
		}
	}
	if _, err := h.Open(t.Context(), secret, ""); !errors.Is(err, signin.ErrSpent) {
		t.Errorf("revoked, and it opens: %v", err)
	}
	if _, err := h.store.TradeLinkOfCalendar(t.Context(), db.HashOf(calendar)); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("revoked, and the calendar opens: %v", err)
	}
	links, err := h.store.TradeLinks(t.Context(), job)
	if err != nil || len(links) != 1 || links[0].Revoked == nil || links[0].Used == nil {
		t.Errorf("listed as %+v, %v", links, err)
	}
}

func TestLastUseIsNotedNowAndThen(t *testing.T) {
	h := newHouse(t)
	_, secret, _ := h.tradeLink()
	token := h.opened(secret)
	used := func() time.Time {
		links, err := h.store.TradeLinks(t.Context(), job)
		if err != nil {
			t.Fatal(err)
		}
		return *links[0].Used
	}
	begun := h.clock.at
	h.clock.at = begun.Add(4 * time.Minute)
	h.asker(h.Keeper, token)
	if got := used(); !got.Equal(begun) {
		t.Errorf("written again after four minutes: %v", got)
	}
	h.clock.at = begun.Add(6 * time.Minute)
	h.asker(h.Keeper, token)
	if got := used(); !got.Equal(h.clock.at) {
		t.Errorf("not written after six minutes: %v", got)
	}
}

func TestClosedAccountIsOut(t *testing.T) {
	h := newHouse(t)
	kim := h.somebody("Kim", "kim@people.example", scheduler.SiteLead)
	secret, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	waiting, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	token := h.opened(secret)
	if v := h.asker(h.Keeper, token); v.Role != scheduler.SiteLead || v.Account != kim.ID || v.Steward {
		t.Fatalf("%+v", v)
	}
	if err := h.store.CloseAccount(t.Context(), kim.ID); err != nil {
		t.Fatal(err)
	}
	if v := h.asker(h.Keeper, token); !v.Nobody() {
		t.Errorf("closed, and still %+v", v)
	}
	if _, err := h.Open(t.Context(), waiting, ""); !errors.Is(err, signin.ErrSpent) {
		t.Errorf("closed, and a link opens: %v", err)
	}
	if _, err := h.Shown(t.Context(), kim.ID); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("closed, and a link is made: %v", err)
	}
	h.somebody("Kim again", "kim@people.example", scheduler.Reader) // the address is free
	steward, err := h.store.Steward(t.Context(), "owner")
	if err != nil {
		t.Fatal(err)
	}
	if err := h.store.CloseAccount(t.Context(), steward.ID); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("the machine's owner was closed: %v", err)
	}
}

// TestAProvenAddressEndsWhatCameBefore: who writes somebody else's address into an
// account does not stay in it once that person has come.
func TestAProvenAddressEndsWhatCameBefore(t *testing.T) {
	h := newHouse(t)
	kim := h.somebody("Kim", "kim@people.example", scheduler.Reader)
	secret, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	before := h.opened(secret)
	if err := h.SetPassword(t.Context(), kim.ID, h.asker(h.Keeper, before).Session, "", "stone brick lime sand"); err != nil {
		t.Fatal(err)
	}
	mailed := signin.NewSecret()
	if err := h.store.AddSignInLink(t.Context(), kim.ID, db.HashOf(mailed), db.Mailed, time.Hour); err != nil {
		t.Fatal(err)
	}
	after := h.opened(mailed)
	if h.asker(h.Keeper, after).Nobody() || !h.asker(h.Keeper, before).Nobody() {
		t.Error("who came before the address was proven is still in")
	}
	if a, err := h.store.Account(t.Context(), kim.ID); err != nil || !a.Proven || a.HasPassword {
		t.Errorf("%+v, %v", a, err)
	}
	// Once it is proven, further letters end nothing.
	again := signin.NewSecret()
	if err := h.store.AddSignInLink(t.Context(), kim.ID, db.HashOf(again), db.Mailed, time.Hour); err != nil {
		t.Fatal(err)
	}
	h.opened(again)
	if h.asker(h.Keeper, after).Nobody() {
		t.Error("a second letter ended a session")
	}
}

// TestNothingSecretIsKept looks for every secret, token and password in every table.
func TestNothingSecretIsKept(t *testing.T) {
	h := newHouse(t)
	kim := h.somebody("Kim", "kim@people.example", scheduler.Reader)
	const password = "stone brick lime sand"
	shown, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	token := h.opened(shown)
	if err := h.SetPassword(t.Context(), kim.ID, h.asker(h.Keeper, token).Session, "", password); err != nil {
		t.Fatal(err)
	}
	_, secret, calendar := h.tradeLink()
	unspent := h.printed()
	secrets := []string{password, shown, token, secret, calendar, unspent, h.opened(secret)}
	conn, err := pgxpool.New(t.Context(), h.address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	rows, err := conn.Query(t.Context(), `SELECT relname::text FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace`)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil || len(tables) < 30 {
		t.Fatalf("%d tables, %v", len(tables), err)
	}
	holding := func(text string) (in []string) {
		for _, table := range tables {
			name := pgx.Identifier{table}.Sanitize()
			var n int
			// The text itself, and its bytes as Postgres writes them.
			if err := conn.QueryRow(t.Context(), `SELECT count(*) FROM `+name+` r WHERE position($1 in r::text) > 0 OR position(encode(convert_to($1, 'UTF8'), 'hex') in r::text) > 0`, text).Scan(&n); err != nil {
				t.Fatal(err)
			}
			if n > 0 {
				in = append(in, table)
			}
		}
		return in
	}
	for _, s := range secrets {
		if in := holding(s); len(in) > 0 {
			t.Errorf("%q is kept in %v", s, in)
		}
	}
	if in := holding("kim@people.example"); len(in) == 0 {
		t.Error("the search does not find what is there")
	}
}
