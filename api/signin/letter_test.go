package signin_test

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"regexp"
	"sync"
	"testing"
	"time"

	"gaugerod/scheduler"
)

// post keeps letters instead of sending them.
type post struct {
	mu      sync.Mutex
	letters []letter
	fails   bool
	blocked chan struct{} // not nil: letters wait for it
}

type letter struct{ to, subject, text string }

func (p *post) Mail(ctx context.Context, to, subject, text string) error {
	if p.blocked != nil {
		select {
		case <-p.blocked:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.fails {
		return errors.New("the mail server says no")
	}
	p.letters = append(p.letters, letter{to, subject, text})
	return nil
}

// sent waits until nothing is under way and gives the letters.
func (p *post) sent(h *house) []letter {
	h.t.Helper()
	h.Close()
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.letters
}

var linkInText = regexp.MustCompile(`https://site\.example(/sign-in\?secret=\S+)`)

func TestMailedLink(t *testing.T) {
	h := newHouse(t)
	h.somebody("Kim", "kim@people.example", scheduler.Reader)
	box := &post{}
	h.Mailer = box
	ask := func(email string) string {
		w := h.browser().ask("POST", "/sign-in/mail", url.Values{"email": {email}})
		says(t, w, http.StatusOK, "If somebody with that address")
		return w.Body.String()
	}
	known, unknown := ask(" KIM@people.example"), ask("nobody@people.example")
	if known != unknown {
		t.Error("the answer tells whether the address is known")
	}
	for deadline := time.Now().Add(10 * time.Second); ; time.Sleep(time.Millisecond) {
		box.mu.Lock()
		n := len(box.letters)
		box.mu.Unlock()
		if n > 0 || time.Now().After(deadline) {
			break
		}
	}
	letters := box.sent(h)
	if len(letters) != 1 || letters[0].to != "kim@people.example" {
		t.Fatalf("letters %+v", letters)
	}
	m := linkInText.FindStringSubmatch(letters[0].text)
	if m == nil {
		t.Fatalf("no link in %q", letters[0].text)
	}
	b := h.browser()
	leads(t, b.ask("GET", m[1], nil), "/sign-in/link?next=%2F")
	leads(t, b.ask("POST", "/sign-in/link", nil), "/")
	b.isSignedIn("Kim")
	if a, _, err := h.store.AccountByEmail(t.Context(), "kim@people.example"); err != nil || !a.Proven {
		t.Errorf("the letter proves nothing: %+v, %v", a, err)
	}
	h.clock.at = h.clock.at.Add(time.Hour)
	says(t, h.browser().ask("GET", m[1], nil), http.StatusForbidden, "is spent")
}

// TestMailingHoldsNobodyUp: neither a mail server that hangs nor one that says no is
// seen from outside, and what is under way is bounded.
func TestMailingHoldsNobodyUp(t *testing.T) {
	h := newHouse(t)
	h.somebody("Kim", "kim@people.example", scheduler.Reader)
	h.Mailer = &post{blocked: make(chan struct{})} // it never goes on
	for range 50 {
		says(t, h.browser().ask("POST", "/sign-in/mail", url.Values{"email": {"kim@people.example"}}), http.StatusOK, "If somebody")
	}
	h.Close() // ends what hangs
	other := h.keeper()
	box := &post{fails: true}
	other.Mailer = box
	other.MailLink("kim@people.example")
	other.Close()
	if len(box.letters) > 0 {
		t.Error("a letter that was not sent was")
	}
}
