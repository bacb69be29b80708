package api

import (
	"net/http"
	"strings"
	"testing"
)

const names = garden + "/names"

// TestANameIsChanged: everything that speaks of the thing calls it so.
func TestANameIsChanged(t *testing.T) {
	s := newSite(t).withExample()
	s.text(http.StatusOK, "POST", names, `{"kind":"task","id":"frame","to":"stand-walls"}`)
	s.text(http.StatusOK, "POST", names, `{"kind":"hold point","in":"openings","id":"opening-ready","to":"opening-good"}`)
	if step := s.text(http.StatusOK, "GET", garden+"/steps/stand-walls", ""); !strings.Contains(step, "Frame and brace the walls") {
		t.Error(step)
	}
	s.send("GET", garden+"/steps/frame", "").problem(http.StatusNotFound, "not-found", "frame")
	s.text(http.StatusOK, "GET", garden+"/steps/opening-n1.opening-good", "")
	if file := s.text(http.StatusOK, "GET", garden+"/file", ""); strings.Contains(file, "finish: frame,") || !strings.Contains(file, "finish: stand-walls") {
		t.Errorf("something speaks of it by the name before: %.4000s", file)
	}
	history := s.text(http.StatusOK, "GET", garden+"/history", "")
	if !strings.Contains(history, `"kind":"task","key":"stand-walls"`) {
		t.Errorf("not in the history: %.2000s", history)
	}
}

// TestNamesThatAreRefused: nothing is changed then.
func TestNamesThatAreRefused(t *testing.T) {
	c := newCast(t)
	owner, designer := c.find("the owner").by, c.find("the designer").by
	for _, e := range []struct {
		by         func(*testing.T) with
		body       string
		status     int
		kind, word string
	}{
		{owner, `{"kind":"task","id":"moon","to":"sun"}`, http.StatusNotFound, "not-found", "no task called moon"},
		{owner, `{"kind":"task","id":"frame","to":"clad"}`, http.StatusConflict, "already", "a task called clad already"},
		{owner, `{"kind":"task","id":"frame","to":"Frame it!"}`, http.StatusUnprocessableEntity, "unsound", "Frame it!"},
		{owner, `{"kind":"wall","id":"frame","to":"frame-2"}`, http.StatusUnprocessableEntity, "invalid", "kind"},
		{designer, `{"kind":"task","id":"frame","to":"frame-2"}`, http.StatusForbidden, "not-allowed", "not yours to change"},
		{designer, `{"kind":"hold point","in":"openings","id":"opening-ready","to":"good"}`, http.StatusForbidden, "not-allowed", "not yours to change"},
		{designer, `{"kind":"stage","in":"windows","id":"making","to":"made"}`, http.StatusForbidden, "not-allowed", "not yours to change"},
	} {
		c.send("POST", names, e.body, e.by(t)).problem(e.status, e.kind, e.word)
	}
	if tag := c.get(garden).header.Get("ETag"); tag != `"1"` {
		t.Errorf("the job is at %s", tag)
	}
	for _, own := range []string{
		`{"kind":"hold point","id":"frame-seen","to":"walls-seen"}`, `{"kind":"layer","in":"wall-skin","id":"tape","to":"tapes"}`,
		`{"kind":"build-up","id":"wall-skin","to":"skin"}`, `{"kind":"drawing","id":"a-12","to":"a-12b"}`,
	} {
		c.send("POST", names, own, designer(t)).want(http.StatusOK)
	}
	c.send("POST", names, `{"kind":"task","id":"frame","to":"frame-2"}`, header("If-Match", `"1"`), owner(t)).problem(http.StatusPreconditionFailed, "stale", "revision 1")
}

// TestWhatWasSentOutKeepsItsName: an issued plan speaks of it.
func TestWhatWasSentOutKeepsItsName(t *testing.T) {
	s := newSite(t).withExample()
	s.text(http.StatusOK, "POST", garden+"/issues", `{"by":"ida"}`)
	s.send("POST", names, `{"kind":"task","id":"frame","to":"frame-2"}`).problem(http.StatusUnprocessableEntity, "impossible", "issue B was sent out")
}
