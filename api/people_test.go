package api

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// box keeps letters instead of sending them.
type box struct {
	mu      sync.Mutex
	letters map[string]string // by reader, the last one's text
}

func (b *box) Mail(_ context.Context, to, _, text string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.letters[to] = text
	return nil
}

// secretTo waits for a letter and gives the secret in it.
func (b *box) secretTo(t *testing.T, to string) string {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		b.mu.Lock()
		text := b.letters[to]
		delete(b.letters, to)
		b.mu.Unlock()
		if text != "" {
			return secretIn(t, text)
		}
	}
	t.Fatalf("no letter to %s", to)
	return ""
}

func secretIn(t *testing.T, text string) string {
	t.Helper()
	_, after, ok := strings.Cut(text, "secret=")
	if !ok {
		t.Fatalf("no link in %q", text)
	}
	secret, _, _ := strings.Cut(after, "\n")
	return secret
}

// signIn spends a secret and gives who came in by it.
func (c *cast) signIn(secret string) with {
	c.t.Helper()
	token := into[TokenBody](c.anywhere("POST", "/api/sessions", `{"secret":"`+secret+`"}`).want(http.StatusOK)).Token
	return header("Authorization", "Bearer "+token)
}

// anywhere sends from an address of its own: a door lets only so many try from one.
func (c *cast) anywhere(method, path, body string, withs ...with) answer {
	c.t.Helper()
	c.nr++
	from := "10.9." + string(rune('0'+c.nr/10%10)) + "." + string(rune('0'+c.nr%10)) + ":1"
	return c.send(method, path, body, append(withs, func(r *http.Request) { r.RemoteAddr = from })...)
}

func TestInviteAndHandOver(t *testing.T) {
	c := newCast(t)
	owner := c.find("the owner").by(t)
	got := c.send("POST", garden+"/people", `{"name":" Kim  of the  Yard ","role":"site lead","person":"setter"}`, owner).want(http.StatusCreated)
	if got.header.Get("Cache-Control") != "no-store" {
		t.Error("a secret may be kept on the way")
	}
	invited := into[InvitedBody](got)
	if invited.Mailed || invited.Path == "" {
		t.Fatalf("%+v", invited)
	}
	kim := c.signIn(secretIn(t, invited.Path))
	you := into[YouBody](c.get("/api/you", kim).want(http.StatusOK))
	if you.Account != invited.Account || you.Name != "Kim of the Yard" || len(you.Seats) != 1 || you.Seats[0].Role != "site lead" || you.Seats[0].Person != "setter" {
		t.Errorf("%+v", you)
	}
	c.get(garden+"/plan", kim).want(http.StatusOK)
	c.get(nextDoor+"/plan", kim).problem(http.StatusNotFound, "not-found")

	// Another role counts at once; the person may leave the job without harm.
	at := garden + "/people/" + invited.Account.String()
	c.send("PUT", at, `{"role":"reader"}`, owner).want(http.StatusNoContent)
	c.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10"}`, kim).problem(http.StatusForbidden, "not-allowed")
	link := into[LinkBody](c.send("POST", at+"/link", "", owner).want(http.StatusOK))
	c.signIn(secretIn(t, link.Path))
	c.send("DELETE", at, "", owner).want(http.StatusNoContent)
	c.get(garden+"/plan", kim).problem(http.StatusNotFound, "not-found")
	c.get("/api/you", kim).want(http.StatusOK) // the account stays
	c.send("DELETE", at, "", owner).problem(http.StatusNotFound, "not-found")
	c.send("PUT", at, `{"role":"reader"}`, owner).problem(http.StatusNotFound, "not-found")
	c.send("POST", at+"/link", "", owner).problem(http.StatusNotFound, "not-found")
}

func TestInvitationsThatAreTurnedDown(t *testing.T) {
	c := newCast(t)
	owner := c.find("the owner").by(t)
	before := len(into[SittersBody](c.get(garden+"/people", owner)).People)
	for body, want := range map[string][]string{
		`{"name":"  ","role":"reader"}`:                                     {"incomplete", "name"},
		`{"name":"` + strings.Repeat("k", 81) + `","role":"reader"}`:        {"impossible", "too long"},
		`{"name":"Kim\u0007","role":"reader"}`:                              {"impossible", "cannot be seen"},
		`{"name":"Kim","role":"trade"}`:                                     {"invalid", "owner, designer, site lead, reader"},
		`{"name":"Kim","role":""}`:                                          {"invalid", "owner, designer, site lead, reader"},
		`{"name":"Kim","role":"reader","person":"nobody"}`:                  {"impossible", "nobody of that name"},
		`{"name":"Kim","role":"reader","email":"Kim <kim@people.example>"}`: {"impossible", "e-mail"},
		`{"name":"Kim","role":"reader","email":"kim"}`:                      {"impossible", "e-mail"},
	} {
		c.send("POST", garden+"/people", body, owner).problem(http.StatusUnprocessableEntity, want[0], want[1])
	}
	if after := len(into[SittersBody](c.get(garden+"/people", owner)).People); after != before {
		t.Errorf("%d were on the job and %d are", before, after)
	}
	c.send("POST", "/api/jobs/never-was/people", `{"name":"Kim","role":"reader"}`).problem(http.StatusNotFound, "not-found")
	c.get("/api/jobs/never-was/people").problem(http.StatusNotFound, "not-found")
	c.get("/api/jobs/never-was/links").problem(http.StatusNotFound, "not-found")
}

func TestAJobKeepsAnOwner(t *testing.T) {
	c := newCast(t)
	x := c.find("the owner of another job")
	at := nextDoor + "/people/" + x.visitor.Account.String()
	c.send("PUT", at, `{"role":"reader"}`, x.by(t)).problem(http.StatusUnprocessableEntity, "impossible", "without an owner")
	c.send("DELETE", at, "", x.by(t)).problem(http.StatusUnprocessableEntity, "impossible", "without an owner")
	c.send("POST", nextDoor+"/people", `{"name":"Second","role":"owner"}`, x.by(t)).want(http.StatusCreated)
	c.send("PUT", at, `{"role":"reader"}`, x.by(t)).want(http.StatusNoContent)
	// The machine's own owner may leave a job to itself.
	for _, p := range into[SittersBody](c.get(nextDoor + "/people")).People {
		c.send("DELETE", nextDoor+"/people/"+p.Account.String(), "").want(http.StatusNoContent)
	}
}

// TestTwoOwnersCannotPutEachOtherOutAtOnce: one of them stays.
func TestTwoOwnersCannotPutEachOtherOutAtOnce(t *testing.T) {
	c := newCast(t)
	one, other := c.find("the owner of another job").visitor.Account, c.account("second", "next-door", scheduler.Owner)
	for range 10 {
		got := make(chan error, 2)
		for _, id := range []uuid.UUID{one, other} {
			go func() { got <- c.store.DropSeat(context.Background(), id, "next-door", true) }()
		}
		refused := 0
		for range 2 {
			if err := <-got; errors.Is(err, db.ErrLastOwner) {
				refused++
			} else if err != nil {
				t.Error(err)
			}
		}
		if refused != 1 {
			t.Fatalf("%d of two were kept", refused)
		}
		for _, id := range []uuid.UUID{one, other} {
			if err := c.store.SetSeat(t.Context(), id, db.Seat{Job: "next-door", Role: scheduler.Owner}, db.Seating{}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestNobodyInvitesThemselvesIntoAnothersJob: an owner who wrote somebody's address
// into an account gets nothing by it when that person gets a place elsewhere.
func TestNobodyInvitesThemselvesIntoAnothersJob(t *testing.T) {
	c := newCast(t)
	thief, owner := c.find("the owner of another job").by(t), c.find("the owner").by(t)
	const email = `"email":"kim@people.example"`
	invited := into[InvitedBody](c.send("POST", nextDoor+"/people", `{"name":"Kim","role":"reader",`+email+`}`, thief).want(http.StatusCreated))
	as := c.signIn(secretIn(t, invited.Path))
	c.send("PUT", "/api/you/password", `{"is":"stone brick lime sand"}`, as).want(http.StatusNoContent)
	waiting := into[LinkBody](c.send("POST", "/api/sign-in-links", "", as).want(http.StatusOK)).Path

	// Without mail nobody can tell whose address it is: the place is not given.
	c.send("POST", garden+"/people", `{"name":"Kim","role":"owner",`+email+`}`, owner).
		problem(http.StatusUnprocessableEntity, "impossible", "nobody knows whether it is theirs")
	// With mail it is given, the letter is the way in, and all that was open is shut.
	letters := &box{letters: map[string]string{}}
	c.server.keeper.Mailer = letters
	again := into[InvitedBody](c.send("POST", garden+"/people", `{"name":"Kim","role":"owner",`+email+`}`, owner).want(http.StatusCreated))
	if again.Account != invited.Account || !again.Mailed || again.Path != "" {
		t.Errorf("%+v", again)
	}
	c.get("/api/you", as).problem(http.StatusUnauthorized, "about:blank")
	c.anywhere("POST", "/api/sessions", `{"secret":"`+secretIn(t, waiting)+`"}`).problem(http.StatusForbidden, "spent")
	c.anywhere("POST", "/api/sessions/password", `{"email":"kim@people.example","password":"stone brick lime sand"}`).problem(http.StatusForbidden, "wrong-password")
	c.send("POST", nextDoor+"/people/"+invited.Account.String()+"/link", "", thief).problem(http.StatusForbidden, "not-theirs", "elsewhere")
	kim := c.signIn(letters.secretTo(t, "kim@people.example"))
	if seats := into[YouBody](c.get("/api/you", kim).want(http.StatusOK)).Seats; len(seats) != 2 {
		t.Errorf("%+v", seats)
	}
	// A place that one has already is changed and not given again.
	c.send("POST", garden+"/people", `{"name":"Kim","role":"reader",`+email+`}`, owner).problem(http.StatusConflict, "already")
	// Who has proven an address is let into a third job without being put out.
	if err := c.store.DropSeat(t.Context(), invited.Account, "garden-studio", false); err != nil {
		t.Fatal(err)
	}
	c.send("POST", garden+"/people", `{"name":"Kim","role":"reader",`+email+`}`, owner).want(http.StatusCreated)
	c.get(garden, kim).want(http.StatusOK)
	letters.secretTo(t, "kim@people.example")
	// And no owner comes by a link of theirs, of the steward's, or of anybody's of more than their own jobs.
	c.send("POST", garden+"/people/"+invited.Account.String()+"/link", "", owner).problem(http.StatusForbidden, "not-theirs")
	steward := c.find("the steward").visitor.Account
	if err := c.store.SetSeat(t.Context(), steward, db.Seat{Job: "garden-studio", Role: scheduler.Reader}, db.Seating{}); err != nil {
		t.Fatal(err)
	}
	c.send("POST", garden+"/people/"+steward.String()+"/link", "", owner).problem(http.StatusForbidden, "not-theirs")
}

// TestAClaimedAddressGivesNoSeat: who writes another's address into their own account comes
// by no seat that was meant for the other, not even from the steward, who owns all jobs.
func TestAClaimedAddressGivesNoSeat(t *testing.T) {
	c := newCast(t)
	steward := c.find("the steward").by(t)
	into[InvitedBody](c.send("POST", garden+"/people", `{"name":"Kim","role":"owner","email":"kim@people.example"}`, steward).want(http.StatusCreated))
	c.send("POST", nextDoor+"/people", `{"name":"Kim","role":"reader","email":"kim@people.example"}`, steward).want(http.StatusCreated) // the steward wrote it both times

	invited := into[InvitedBody](c.send("POST", nextDoor+"/people", `{"name":"Reader","role":"reader"}`, steward).want(http.StatusCreated))
	thief := c.signIn(secretIn(t, invited.Path))
	c.send("PUT", "/api/you", `{"name":"Reader","email":"bo@people.example"}`, thief).want(http.StatusNoContent)
	c.send("PUT", "/api/you/password", `{"is":"stone brick lime sand"}`, thief).want(http.StatusNoContent)
	const bo = `{"name":"Bo","role":"owner","email":"bo@people.example"}`
	c.send("POST", garden+"/people", bo, steward).problem(http.StatusUnprocessableEntity, "impossible", "nobody knows whether it is theirs")
	if seats := into[YouBody](c.get("/api/you", thief)).Seats; len(seats) != 1 || seats[0].Job != "next-door" {
		t.Errorf("%+v", seats)
	}
	// With mail the letter is the only way in.
	letters := &box{letters: map[string]string{}}
	c.server.keeper.Mailer = letters
	c.send("POST", garden+"/people", bo, steward).want(http.StatusCreated)
	c.get("/api/you", thief).problem(http.StatusUnauthorized, "about:blank")
	c.anywhere("POST", "/api/sessions/password", `{"email":"bo@people.example","password":"stone brick lime sand"}`).problem(http.StatusForbidden, "wrong-password")
	c.get(garden, c.signIn(letters.secretTo(t, "bo@people.example"))).want(http.StatusOK)
}

func TestAddressesAreForTheOwner(t *testing.T) {
	c := newCast(t)
	id := c.account("Kim", "garden-studio", scheduler.Reader)
	if err := c.store.DescribeAccount(t.Context(), id, "Kim", "kim@people.example"); err != nil {
		t.Fatal(err)
	}
	for name, shown := range map[string]bool{"the owner": true, "the steward": true, "the designer": false, "the reader": false} {
		got := string(c.get(garden+"/people", c.find(name).by(t)).want(http.StatusOK).body)
		page := string(c.get("/jobs/garden-studio/people", c.find(name).by(t)).want(http.StatusOK).body)
		if strings.Contains(got, "kim@") != shown || strings.Contains(page, "kim@") != shown {
			t.Errorf("%s sees the address: want %v\n%s", name, shown, got)
		}
	}
}

func TestYourOwnAccount(t *testing.T) {
	c := newCast(t)
	reader := c.find("the reader")
	as := header("Authorization", "Bearer "+reader.token(t))
	c.send("PUT", "/api/you", `{"name":"Kim","email":"KIM@people.example"}`, as).want(http.StatusNoContent)
	if you := into[YouBody](c.get("/api/you", as)); you.Name != "Kim" || you.Email != "kim@people.example" || you.HasPassword || you.Steward {
		t.Errorf("%+v", you)
	}
	c.send("PUT", "/api/you", `{"name":"Lou","email":"kim@people.example"}`, c.find("the designer").by(t)).problem(http.StatusConflict, "already", "another account")
	c.send("PUT", "/api/you", `{"name":" "}`, as).problem(http.StatusUnprocessableEntity, "incomplete")
	c.send("PUT", "/api/you/password", `{"is":"short"}`, as).problem(http.StatusUnprocessableEntity, "impossible", "15 characters")
	c.send("PUT", "/api/you/password", `{"is":"stone brick lime sand"}`, as).want(http.StatusNoContent)
	c.send("PUT", "/api/you/password", `{"was":"wrong","is":"another four words here"}`, as).problem(http.StatusForbidden, "wrong-password")
	opened := into[TokenBody](c.anywhere("POST", "/api/sessions/password", `{"email":"kim@people.example","password":"stone brick lime sand"}`, header("User-Agent", "curl/8")).want(http.StatusOK))
	if opened.Trade || opened.Until.Before(time.Now()) {
		t.Errorf("%+v", opened)
	}
	other := header("Authorization", "Bearer "+opened.Token)
	sessions := into[SessionsBody](c.get("/api/you/sessions", as)).Sessions
	if len(sessions) != 2 {
		t.Fatalf("%+v", sessions)
	}
	for _, s := range sessions {
		if s.This == (s.Device == "curl") {
			t.Errorf("%+v", s)
		}
		if !s.This {
			// Only whose session it is ends it.
			c.send("DELETE", "/api/you/sessions/"+s.ID.String(), "", c.find("the owner").by(t)).problem(http.StatusNotFound, "not-found")
			c.get("/api/you", other).want(http.StatusOK)
			c.send("DELETE", "/api/you/sessions/"+s.ID.String(), "", as).want(http.StatusNoContent)
		}
	}
	c.get("/api/you", other).problem(http.StatusUnauthorized, "about:blank")
	reader.token(t)
	c.send("DELETE", "/api/you/sessions", "", as).want(http.StatusNoContent)
	if left := into[SessionsBody](c.get("/api/you/sessions", as)).Sessions; len(left) != 1 || !left[0].This {
		t.Errorf("%+v", left)
	}
	c.send("DELETE", "/api/sessions", "", as).want(http.StatusNoContent)
	c.get("/api/you", as).problem(http.StatusUnauthorized, "about:blank")
	c.anywhere("POST", "/api/sessions/mail", `{"email":"kim@people.example"}`).problem(http.StatusNotFound, "no-mail")
}

// TestNobodyTakesAnothersName: the history says who did what by their names.
func TestNobodyTakesAnothersName(t *testing.T) {
	c := newCast(t)
	lead := c.find("the site lead").by(t)
	for _, name := range []string{"designer", "Designer", "  designer ", "owner"} { // owner is what the steward is called, too
		c.send("PUT", "/api/you", `{"name":"`+name+`"}`, lead).problem(http.StatusConflict, "already", "the history would not tell you apart")
	}
	if you := into[YouBody](c.get("/api/you", lead)); you.Name != "site lead" {
		t.Errorf("%+v", you)
	}
	for _, name := range []string{"Site Lead", "outsider", "Kim"} { // one's own, that of somebody on another job, and a new one
		c.send("PUT", "/api/you", `{"name":"`+name+`"}`, lead).want(http.StatusNoContent)
	}
}

func TestAccountsAreTheStewards(t *testing.T) {
	c := newCast(t)
	all := into[AccountsBody](c.get("/api/accounts").want(http.StatusOK)).Accounts
	if len(all) != 7 || !all[0].Steward || all[1].Jobs != 1 {
		t.Errorf("%+v", all)
	}
	reader := c.find("the reader")
	as := header("Authorization", "Bearer "+reader.token(t))
	c.send("DELETE", "/api/accounts/"+reader.visitor.Account.String(), "").want(http.StatusNoContent)
	c.get("/api/you", as).problem(http.StatusUnauthorized, "about:blank")
	c.send("DELETE", "/api/accounts/"+reader.visitor.Account.String(), "").problem(http.StatusNotFound, "not-found")
	c.send("DELETE", "/api/accounts/"+c.find("the steward").visitor.Account.String(), "").problem(http.StatusNotFound, "not-found")
}

func TestTradeLinks(t *testing.T) {
	c := newCast(t)
	lead := c.find("the site lead").by(t)
	c.server.keeper.Base = "https://site.example"
	got := c.send("POST", garden+"/links", `{"trade":"cladding","label":"Gang of three","days":30}`, lead).want(http.StatusCreated)
	made := into[MadeTradeLinkBody](got)
	if got.header.Get("Cache-Control") != "no-store" || made.By != "site lead" || made.Label != "Gang of three" || made.Trade != "cladding" {
		t.Errorf("%+v", made)
	}
	if days := made.Until.Sub(made.Made); days != 30*24*time.Hour {
		t.Errorf("it lasts %v", days)
	}
	if !strings.HasPrefix(made.Address, "https://site.example/visit?secret=") || !strings.HasPrefix(made.Calendar, "https://site.example/calendar/") || !strings.HasSuffix(made.Calendar, ".ics") || !strings.HasPrefix(made.QR, "<svg") {
		t.Errorf("%+v", made)
	}
	// Every device that has the link gets a session of its own, and all end with it.
	one, two := c.signIn(secretIn(t, made.Address)), c.signIn(secretIn(t, made.Address))
	for _, device := range []with{one, two} {
		c.get(garden+"/plan", device).problem(http.StatusNotFound, "not-found")
		c.get("/api/jobs", device).problem(http.StatusForbidden, "not-allowed")
	}
	c.send("DELETE", "/api/sessions", "", one).want(http.StatusNoContent)
	c.get("/api/jobs", one).problem(http.StatusUnauthorized, "about:blank")
	c.get("/api/jobs", two).problem(http.StatusForbidden, "not-allowed")
	secret := secretIn(t, made.Address)
	list := string(c.get(garden+"/links", lead).want(http.StatusOK).body)
	if strings.Contains(list, secret) || !strings.Contains(list, made.ID.String()) {
		t.Errorf("listed: %s", list)
	}
	c.send("DELETE", nextDoor+"/links/"+made.ID.String(), "", c.find("the owner of another job").by(t)).problem(http.StatusNotFound, "not-found")
	c.send("DELETE", garden+"/links/"+made.ID.String(), "", lead).want(http.StatusNoContent)
	c.get("/api/jobs", two).problem(http.StatusUnauthorized, "about:blank")
	c.anywhere("POST", "/api/sessions", `{"secret":"`+secret+`"}`).problem(http.StatusForbidden, "spent")
	c.send("DELETE", garden+"/links/"+made.ID.String(), "", lead).problem(http.StatusNotFound, "not-found")
	for body, want := range map[string]string{
		`{"trade":"nobody"}`: "no such trade", `{"trade":"cladding","label":"` + strings.Repeat("k", 81) + `"}`: "too long",
	} {
		c.send("POST", garden+"/links", body, lead).problem(http.StatusUnprocessableEntity, "impossible", want)
	}
	c.send("POST", garden+"/links", `{"trade":"cladding","days":401}`, lead).problem(http.StatusUnprocessableEntity, "invalid")
	if usual := into[MadeTradeLinkBody](c.send("POST", garden+"/links", `{"trade":"cladding"}`, lead).want(http.StatusCreated)); usual.Label == "" || usual.Until.Sub(usual.Made) != people.UsualDays*24*time.Hour {
		t.Errorf("%+v", usual)
	}
}

// TestThePagesOfPeople goes the ways of the forms, with cookies as a browser has them.
func TestThePagesOfPeople(t *testing.T) {
	c := newCast(t)
	c.server.keeper.Base = "https://site.example"
	form := func(name, path string, fields url.Values) answer {
		t.Helper()
		token := c.find(name).token(t)
		return c.anywhere("POST", path, fields.Encode(), func(r *http.Request) {
			r.Header.Del("Authorization")
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.AddCookie(&http.Cookie{Name: signin.CookieName, Value: token})
		})
	}
	says := func(got answer, status int, words ...string) string {
		t.Helper()
		got.want(status)
		for _, w := range words {
			if !strings.Contains(string(got.body), w) {
				t.Errorf("no word of %q: %s", w, got.body)
			}
		}
		return string(got.body)
	}
	const at = "/jobs/garden-studio"
	page := says(form("the owner", at+"/people", url.Values{"name": {"Kim"}, "role": {"reader"}}), http.StatusOK, "Hand this link to Kim", "https://site.example/sign-in?secret=")
	_, after, _ := strings.Cut(page, "secret=")
	secret, _, _ := strings.Cut(after, "<")
	kim := c.signIn(secret)
	account := into[YouBody](c.get("/api/you", kim).want(http.StatusOK)).Account
	says(form("the owner", at+"/people", url.Values{"name": {""}, "role": {"reader"}}), http.StatusUnprocessableEntity, "A name is needed")
	says(form("the owner", at+"/people/"+account.String(), url.Values{"do": {"change"}, "role": {"designer"}, "by": {"setter"}}), http.StatusSeeOther)
	if seats := into[YouBody](c.get("/api/you", kim)).Seats; seats[0].Role != "designer" || seats[0].Person != "setter" {
		t.Errorf("%+v", seats)
	}
	says(form("the owner", at+"/people/"+account.String(), url.Values{"do": {"change"}, "role": {"king"}}), http.StatusUnprocessableEntity, "no such role")
	says(form("the owner", at+"/people/"+account.String()+"/link", nil), http.StatusOK, "Hand this link to Kim")
	says(form("the owner", at+"/people/"+account.String(), url.Values{"do": {"drop"}}), http.StatusSeeOther)
	says(form("the owner", at+"/people/nobody", url.Values{"do": {"drop"}}), http.StatusNotFound)
	c.get(garden, kim).problem(http.StatusNotFound, "not-found")
	says(form("the designer", at+"/people", url.Values{"name": {"Lou"}, "role": {"owner"}}), http.StatusForbidden, "Only the owner of the job may do that.")

	says(form("the site lead", at+"/links", url.Values{"trade": {"cladding"}, "label": {"Gang of four"}, "days": {"9"}}), http.StatusOK, "https://site.example/visit?secret=", "<svg")
	links, err := c.store.TradeLinks(t.Context(), "garden-studio")
	if err != nil || links[0].Label != "Gang of four" {
		t.Fatalf("%+v, %v", links, err)
	}
	once := url.Values{"trade": {"cladding"}, "label": {"Gang of four"}, "days": {"9"}, "once": {signin.NewSecret()}}
	address := func(page string) string { return regexp.MustCompile(`/visit\?secret=[^"<]+`).FindString(page) }
	first := address(says(form("the site lead", at+"/links", once), http.StatusOK, "<svg"))
	if again := address(says(form("the site lead", at+"/links", once), http.StatusOK, "<svg")); first == "" || again != first {
		t.Errorf("a form sent twice makes %q and then %q", first, again)
	}
	if other := address(says(form("the owner", at+"/links", once), http.StatusOK, "<svg")); other == first {
		t.Error("somebody else with the same form is given the same link")
	}
	sheet := url.Values{"once": {signin.NewSecret()}}
	for range 2 {
		says(form("the site lead", at+"/trades/cladding/sheet.pdf", sheet), http.StatusOK, "%PDF-")
	}
	says(form("the site lead", at+"/trades/cladding/sheet.pdf", url.Values{"once": {"short"}}), http.StatusUnprocessableEntity, "no secret of its own")
	made, err := c.store.TradeLinks(t.Context(), "garden-studio")
	if err != nil || len(made) != len(links)+3 {
		t.Fatalf("three forms, one of them sent by two, made %d links, %v", len(made)-len(links), err)
	}
	for _, l := range made[:len(made)-len(links)] {
		says(form("the site lead", at+"/links/"+l.ID.String()+"/revoke", nil), http.StatusSeeOther)
	}
	says(form("the site lead", at+"/trades/cladding/sheet.pdf", sheet), http.StatusUnprocessableEntity, "taken back")
	says(form("the site lead", at+"/links", once), http.StatusUnprocessableEntity, "taken back")
	says(c.get(at+"/people", c.find("the site lead").by(t)), http.StatusOK, "Gang of four", "Take back")
	if strings.Contains(string(c.get(at+"/people", c.find("the reader").by(t)).body), "Gang of four") {
		t.Error("a reader is shown trades' links")
	}
	says(form("the site lead", at+"/links/"+links[0].ID.String()+"/revoke", nil), http.StatusSeeOther)
	says(form("the site lead", at+"/links/"+links[0].ID.String()+"/revoke", nil), http.StatusNotFound)

	says(form("the reader", "/you", url.Values{"name": {"Lou"}, "email": {"lou@people.example"}}), http.StatusSeeOther)
	says(form("the reader", "/you", url.Values{"name": {"Lou"}, "email": {"lou"}}), http.StatusUnprocessableEntity, "no e-mail address")
	says(form("the reader", "/you/password", url.Values{"password": {"stone brick lime sand"}}), http.StatusSeeOther)
	says(form("the reader", "/you/password", url.Values{"was": {"wrong"}, "password": {"another four words here"}}), http.StatusUnprocessableEntity, "not the password so far")
	says(form("the reader", "/you/device", nil), http.StatusOK, "https://site.example/sign-in?secret=")
	says(form("the reader", "/you/sessions", url.Values{"session": {"others"}}), http.StatusSeeOther)
	says(form("the reader", "/you/sessions", url.Values{"session": {"nothing"}}), http.StatusNotFound)
	says(c.get("/you", c.find("the reader").by(t)), http.StatusOK, "Where you are signed in", "Lou")
}
