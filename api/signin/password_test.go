package signin_test

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

const words = "stone brick lime sand"

// withPassword is a new account that has set one.
func (h *house) withPassword(name, email string) (a db.Account, token string) {
	h.t.Helper()
	a = h.somebody(name, email, scheduler.Reader)
	secret, err := h.Shown(h.t.Context(), a.ID)
	if err != nil {
		h.t.Fatal(err)
	}
	token = h.opened(secret)
	if err := h.SetPassword(h.t.Context(), a.ID, h.asker(h.Keeper, token).Session, "", words); err != nil {
		h.t.Fatal(err)
	}
	return a, token
}

func TestPassword(t *testing.T) {
	h := newHouse(t)
	kim, first := h.withPassword("Kim", "kim@people.example")
	h.somebody("Lou", "lou@people.example", scheduler.Reader) // without a password
	o, err := h.OpenWithPassword(t.Context(), " Kim@People.Example ", words, "a test")
	if err != nil {
		t.Fatal(err)
	}
	if v := h.asker(h.Keeper, o.Token); v.Account != kim.ID || o.Trade {
		t.Errorf("%+v, %+v", v, o)
	}
	for _, c := range [][2]string{
		{"kim@people.example", words + "x"},
		{"kim@people.example", ""},
		{"kim@people.example", strings.Repeat(words, 50)},
		{"lou@people.example", words},
		{"lou@people.example", ""},
		{"nobody@people.example", words},
		{"", ""},
	} {
		if _, err := h.OpenWithPassword(t.Context(), c[0], c[1], ""); !errors.Is(err, signin.ErrWrong) {
			t.Errorf("%q: %v", c, err)
		}
	}
	// Too short, too long, or without the old one: nothing is set.
	in := h.asker(h.Keeper, first).Session
	for _, c := range [][2]string{{words, "short"}, {words, strings.Repeat("ß", signin.MostPassword/2+1)}} {
		var refusal *scheduler.Refusal
		if err := h.SetPassword(t.Context(), kim.ID, in, c[0], c[1]); !errors.As(err, &refusal) || refusal.Field != "password" {
			t.Errorf("%q: %v", c[1], err)
		}
	}
	if err := h.SetPassword(t.Context(), kim.ID, in, "guess", "another four words here"); !errors.Is(err, signin.ErrWrong) {
		t.Errorf("changed without the old one: %v", err)
	}
	// A new one ends the other sessions and the links that wait.
	waiting, err := h.Shown(t.Context(), kim.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.SetPassword(t.Context(), kim.ID, in, words, "another four words here"); err != nil {
		t.Fatal(err)
	}
	if h.asker(h.Keeper, first).Nobody() || !h.asker(h.Keeper, o.Token).Nobody() {
		t.Error("the session it was set in ended, or another did not")
	}
	if _, err := h.Open(t.Context(), waiting, ""); !errors.Is(err, signin.ErrSpent) {
		t.Errorf("a link from before opens: %v", err)
	}
	if _, err := h.OpenWithPassword(t.Context(), kim.Email, words, ""); !errors.Is(err, signin.ErrWrong) {
		t.Errorf("the old password: %v", err)
	}
	if _, err := h.OpenWithPassword(t.Context(), kim.Email, "another four words here", ""); err != nil {
		t.Errorf("the new password: %v", err)
	}
}

// TestSameAnswerForUnknownAndWrong: the pages too do not tell which it was.
func TestSameAnswerForUnknownAndWrong(t *testing.T) {
	h := newHouse(t)
	h.withPassword("Kim", "kim@people.example")
	try := func(email, password string) string {
		w := h.browser().ask("POST", "/sign-in/password", url.Values{"email": {email}, "password": {password}, "next": {"/page"}})
		says(t, w, http.StatusForbidden, "do not go together", `value="/page"`)
		return strings.ReplaceAll(w.Body.String(), email, "")
	}
	if try("kim@people.example", "guess") != try("nobody@people.example", "guess") {
		t.Error("the answer tells whether the address is known")
	}
	b := h.browser()
	leads(t, b.ask("POST", "/sign-in/password", url.Values{"email": {"kim@people.example"}, "password": {words}, "next": {"/page"}}), "/page")
	b.isSignedIn("Kim")
}
