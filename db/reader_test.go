package db_test

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// A reader is told the same of who asks as everybody, and how the job stands besides.
func TestReader(t *testing.T) {
	s := newShelf(t)
	bo, err := s.store.AddAccount(t.Context(), "Bo Example", "bo@mail.example", db.Seat{Job: s.job, Role: scheduler.Designer, Person: "bo"})
	if err != nil {
		t.Fatal(err)
	}
	account, link := db.HashOf("of an account"), db.HashOf("of a link")
	if err := s.store.OpenSession(t.Context(), bo, account, "a test", time.Hour); err != nil {
		t.Fatal(err)
	}
	trade := db.TradeLink{Job: s.job, Trade: "framing", Label: "The framers", By: "Ida Example"}
	if _, err := s.store.AddTradeLink(t.Context(), trade, db.HashOf("secret"), db.HashOf("calendar"), time.Hour); err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.VisitTradeLink(t.Context(), db.HashOf("secret"), link, "a test"); err != nil {
		t.Fatal(err)
	}
	stands := func(token db.Hash, job scheduler.ID, revision int64, takes map[worktime.Date]int) {
		t.Helper()
		want, err := s.store.Asker(t.Context(), token, job)
		if err != nil {
			t.Fatal(err)
		}
		got, stand, err := s.store.Reader(t.Context(), token, job)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("who asks differs:\n%s", d)
		}
		if stand.Job != job || stand.Revision != revision {
			t.Errorf("job %q stands at revision %d, want %q at %d", stand.Job, stand.Revision, job, revision)
		}
		for day := worktime.Date(19998); day < 20004; day++ {
			if take := stand.Take(day); take != takes[day] {
				t.Errorf("revision %d as of %s: take %d, want %d", revision, day, take, takes[day])
			}
		}
	}
	stands(account, s.job, 1, nil)
	s.save(1, 20000, "one", true)
	s.save(1, 20002, "asked for", false)
	if _, kept, err := s.store.BetterPlan(t.Context(), s.of(1, 20000), db.Pack(s.plan("better")), 1); err != nil || !kept {
		t.Fatal(kept, err)
	}
	stands(account, s.job, 1, map[worktime.Date]int{20000: 2, 20002: 1})
	stands(link, s.job, 1, map[worktime.Date]int{20000: 2, 20002: 1})
	stands(account, "none", 0, nil)
	job := everyFeature(t)
	job.Title = "Another title"
	put(t, s.store, job)
	stands(account, s.job, 2, nil) // the plans are of the revision before
	if _, _, err := s.store.Reader(t.Context(), db.HashOf("of nobody"), s.job); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("a token of nobody gave %v", err)
	}
	if err := s.store.EndSession(t.Context(), account); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.store.Reader(t.Context(), account, s.job); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("a session that has ended gave %v", err)
	}
}

// Many who ask at the same time ask together, and each is told of himself and of the job he
// asks about; one whose question the database refuses spoils it for nobody else.
func TestReadersTogether(t *testing.T) {
	s := newShelf(t)
	tokens := map[db.Hash]string{}
	for k := range 8 {
		name := fmt.Sprintf("Reader %d Example", k)
		id, err := s.store.AddAccount(t.Context(), name, fmt.Sprintf("r%d@mail.example", k), db.Seat{Job: s.job, Role: scheduler.Reader})
		if err != nil {
			t.Fatal(err)
		}
		token := db.HashOf(name)
		if err := s.store.OpenSession(t.Context(), id, token, "a test", time.Hour); err != nil {
			t.Fatal(err)
		}
		tokens[token] = name
	}
	s.save(1, 20000, "one", true)
	var asking sync.WaitGroup
	for range 20 {
		for token, name := range tokens {
			asking.Go(func() {
				asker, stand, err := s.store.Reader(t.Context(), token, s.job)
				if err != nil || asker.Name != name || asker.Role != scheduler.Reader || stand.Revision != 1 || stand.Take(20000) != 1 {
					t.Errorf("%s was told of %+v, %+v: %v", name, asker, stand, err)
				}
			})
			asking.Go(func() {
				asker, stand, err := s.store.Reader(t.Context(), token, "none")
				if err != nil || asker.Name != name || asker.Role != "" || stand.Job != "none" || stand.Revision != 0 {
					t.Errorf("%s was told of %+v, %+v: %v", name, asker, stand, err)
				}
			})
		}
		asking.Go(func() {
			if _, _, err := s.store.Reader(t.Context(), db.HashOf("of nobody"), s.job); !errors.Is(err, scheduler.ErrNotFound) {
				t.Errorf("a token of nobody gave %v", err)
			}
		})
		asking.Go(func() {
			for token := range tokens {
				if _, _, err := s.store.Reader(t.Context(), token, "a\x00b"); !errors.Is(err, db.ErrText) {
					t.Errorf("a name that no text can hold gave %v", err)
				}
				return
			}
		})
	}
	asking.Wait()
}
