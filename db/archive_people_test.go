package db_test

import (
	"bytes"
	"testing"
	"time"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

// Whoever could come in before can come in after; who was in is not.
func TestArchiveTakesPeopleAlong(t *testing.T) {
	store := open(t)
	put(t, store, everyFeature(t))
	seat := db.Seat{Job: "garden-studio", Role: scheduler.Designer, Person: "bo"}
	bo, err := store.AddAccount(t.Context(), "Bo Example", "bo@mail.example", seat)
	if err != nil {
		t.Fatal(err)
	}
	link := db.TradeLink{Job: "garden-studio", Trade: "framing", Label: "The framers", By: "Ida Example"}
	for _, do := range []func() error{
		func() error { return store.SetPassword(t.Context(), bo, "$argon2id$of-bo", bo) },
		func() error { return store.AddSignInLink(t.Context(), bo, db.HashOf("sign-in"), db.Shown, time.Hour) },
		func() error { return store.OpenSession(t.Context(), bo, db.HashOf("token"), "a test", time.Hour) },
		func() error {
			_, err := store.AddTradeLink(t.Context(), link, db.HashOf("secret"), db.HashOf("calendar"), time.Hour)
			return err
		},
	} {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
	written := export(t, store)
	for _, m := range unpacked(t, written) {
		if bytes.Contains([]byte(m.text), []byte("a test")) {
			t.Errorf("%s has a session in it", m.name)
		}
	}
	other := dbtest.Open(t, noon)
	if _, err := other.Import(t.Context(), bytes.NewReader(written)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(written, export(t, other)) {
		t.Error("came back otherwise")
	}
	if a, password, err := other.AccountByEmail(t.Context(), "bo@mail.example"); err != nil || a.ID != bo || password != "$argon2id$of-bo" {
		t.Errorf("the account is %+v with the password %q: %v", a, password, err)
	}
	if seats, err := other.SeatsOf(t.Context(), bo); err != nil || len(seats) != 1 || seats[0] != seat {
		t.Errorf("the seats are %v: %v", seats, err)
	}
	if open, err := other.Sessions(t.Context(), bo); err != nil || len(open) != 0 {
		t.Errorf("the sessions are %v: %v", open, err)
	}
	if err := other.SpendSignInLink(t.Context(), db.HashOf("sign-in"), db.HashOf("new"), "a test", time.Hour); err != nil {
		t.Errorf("the link does not sign in: %v", err)
	}
	if _, err := other.VisitTradeLink(t.Context(), db.HashOf("secret"), db.HashOf("newer"), "a test"); err != nil {
		t.Errorf("the trade's link does not open: %v", err)
	}
	if _, err := other.TradeLinkOfCalendar(t.Context(), db.HashOf("calendar")); err != nil {
		t.Errorf("the calendar is not found: %v", err)
	}
}
