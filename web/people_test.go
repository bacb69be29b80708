package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/rs/zerolog"

	"gaugerod/api/office"
	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// roster is a desk's store with a few invented people in it, none of whom changes;
// what a page does with the real one is tested with the service.
type roster struct {
	deskStore
	keeperStore
}

type (
	deskStore   interface{ people.Store }
	keeperStore interface{ signin.Store }
)

var kim = db.Account{ID: uuid.New(), Name: "Kim", Email: "kim@people.example", HasPassword: true}

func (roster) Account(context.Context, uuid.UUID) (db.Account, error) { return kim, nil }

func (roster) AccountByEmail(context.Context, string) (db.Account, string, error) {
	return db.Account{}, "", scheduler.ErrNotFound
}

func (roster) Password(context.Context, uuid.UUID) (string, error) { return "", nil }

func (roster) SeatsOf(context.Context, uuid.UUID) ([]db.Seat, error) { return nil, nil }

func (roster) Sitters(_ context.Context, job scheduler.ID) ([]db.Sitter, error) {
	return []db.Sitter{
		{Account: db.Account{ID: owner.Account, Name: "Ola"}, Seat: db.Seat{Job: job, Role: scheduler.Owner, Person: "gone-from-the-job"}},
		{Account: kim, Seat: db.Seat{Job: job, Role: scheduler.Reader}},
		{Account: db.Account{ID: uuid.New(), Name: "Bo", Email: "bo@people.example", Claimed: true}, Seat: db.Seat{Job: job, Role: scheduler.Reader}},
	}, nil
}

func (roster) Sessions(context.Context, uuid.UUID) ([]db.Session, error) {
	return []db.Session{
		{ID: owner.Session, Device: "Firefox on Android", Made: readAt, Seen: readAt, Until: readAt.Add(time.Hour)},
		{ID: uuid.New(), Device: "a script", Made: readAt, Seen: readAt, Until: readAt.Add(time.Hour)},
	}, nil
}

func (roster) TradeLinks(_ context.Context, job scheduler.ID) ([]db.TradeLink, error) {
	link := func(label string, until time.Time, revoked *time.Time) db.TradeLink {
		return db.TradeLink{ID: uuid.New(), Job: job, Trade: "gone", Label: label, By: "Ola", Made: readAt, Until: until, Revoked: revoked, Used: revoked}
	}
	return []db.TradeLink{link("Open one", readAt.Add(time.Hour), nil), link("Old one", readAt, nil), link("Shut one", readAt.Add(time.Hour), &readAt)}, nil
}

func (roster) AddTradeLink(_ context.Context, l db.TradeLink, _, _ db.Hash, life time.Duration) (db.TradeLink, error) {
	l.ID, l.Made, l.Until = uuid.New(), readAt, readAt.Add(life)
	return l, nil
}

func newDesk(t testing.TB, o *office.Office) *people.Desk {
	keeper := signin.New(roster{}, func() time.Time { return readAt }, zerolog.Nop())
	keeper.Base = "https://site.example"
	t.Cleanup(keeper.Close)
	return people.New(roster{}, o, keeper)
}

func TestPeoplePageShowsLinksAsTheyStand(t *testing.T) {
	s := newSite(t, demo)
	_, doc := s.get(s.job + "/people")
	for _, want := range []string{"Ola", "Kim", "kim@people.example", "bo@people.example, by their own word", "Open one", "lapsed", "taken back", "gone-from-the-job"} {
		if !strings.Contains(says(doc, "main"), want) {
			t.Errorf("no word of %q: %s", want, says(doc, "main"))
		}
	}
	if strings.Contains(says(doc, "main"), "kim@people.example, by") {
		t.Error("who gave a seat wrote that address down")
	}
	if n := len(find(doc, "#links li form")); n != 1 {
		t.Errorf("%d links can be taken back, of one that is open", n)
	}
}

// TestANewLinkIsShownOnceWithItsCode: as an address, as a code, and its calendar.
func TestANewLinkIsShownOnceWithItsCode(t *testing.T) {
	s := newSite(t, demo)
	_, doc := s.get(s.job + "/people")
	trade := attr(find(doc, "#link-trade option")[0], "value")
	w, doc := s.post(s.job+"/links", url.Values{"trade": {trade}, "label": {"Gang of three"}, "days": {"30"}})
	if w.Code != http.StatusOK || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%d, %v", w.Code, w.Header())
	}
	shown := says(doc, ".said")
	if !strings.Contains(shown, "https://site.example/visit?secret=") || !strings.Contains(shown, "https://site.example/calendar/") || !strings.Contains(shown, "Gang of three") {
		t.Errorf("shown: %s", shown)
	}
	if len(find(doc, ".code svg path")) != 1 {
		t.Error("no code to photograph")
	}
	sound(t, s.job+"/links", doc, w.Body.String())
	for field, bad := range map[string]url.Values{
		"days":  {"trade": {trade}, "days": {"many"}},
		"trade": {"trade": {"nobody"}, "days": {"3"}},
		"label": {"trade": {trade}, "label": {strings.Repeat("long ", 30)}},
	} {
		w, doc := s.post(s.job+"/links", bad)
		if w.Code != http.StatusUnprocessableEntity || len(find(doc, "#links .problem")) != 1 || len(find(doc, ".code")) > 0 {
			t.Errorf("%s: %d %s", field, w.Code, says(doc, "#links"))
		}
	}
}

func TestYourPageNeverSendsAPasswordBack(t *testing.T) {
	s := newSite(t, demo)
	w, doc := s.post("/you/password", url.Values{"was": {"hunter2 hunter2"}, "password": {"too short"}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(says(doc, "#password .problem"), "15 characters") {
		t.Errorf("%d %s", w.Code, says(doc, "#password"))
	}
	if strings.Contains(w.Body.String(), "hunter2") || strings.Contains(w.Body.String(), "too short") {
		t.Error("what was typed is sent back")
	}
	sound(t, "/you", doc, w.Body.String())
}
