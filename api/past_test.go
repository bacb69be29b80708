package api

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

func setCrews(s *site, n int, withs ...with) answer {
	return s.send("PUT", garden+"/trades/cladding/crews", fmt.Sprintf(`{"crews":%d}`, n), withs...)
}

// TestAChangeTooLateSeesWhatOthersDid: the answer has the newest revision and the
// lines of what was changed since, and nothing else.
func TestAChangeTooLateSeesWhatOthersDid(t *testing.T) {
	s := newSite(t).withExample()
	setCrews(s, 2).want(http.StatusOK)
	setCrews(s, 3).want(http.StatusOK)
	p := setCrews(s, 4, header("If-Match", `"2"`)).problem(http.StatusPreconditionFailed, "stale", "revision 2", "revision 3", "again")
	if p.Revision != 3 || len(p.Since) != 1 || p.Since[0].Revision != 3 || p.Since[0].Key != "cladding" || !strings.Contains(string(p.Since[0].Is), `"crews":3`) {
		t.Errorf("revision %d, since %+v", p.Revision, p.Since)
	}
	file := string(s.get(garden + "/file").body)
	p = s.send("PUT", garden+"/file", strings.Replace(file, "title: Garden studio", "title: Other", 1), header("Content-Type", yamlType), header("If-Match", `"1"`)).
		problem(http.StatusPreconditionFailed, "stale")
	if len(p.Since) != 2 {
		t.Errorf("since %+v", p.Since)
	}
	if p := setCrews(s, 0).problem(http.StatusUnprocessableEntity, "invalid"); p.Since != nil || p.Revision != 0 {
		t.Errorf("another problem tells of a conflict: %+v", p)
	}
}

// TestARequestSentAgain: a retry after a lost answer does nothing twice and hears
// the same.
func TestARequestSentAgain(t *testing.T) {
	s := newSite(t).withExample()
	key := func(name string) with { return header(keyHeader, name) }
	first := setCrews(s, 2, key("a"), header("If-Match", `"1"`)).want(http.StatusOK)
	setCrews(s, 3).want(http.StatusOK)
	again := setCrews(s, 2, key("a"), header("If-Match", `"1"`)).want(http.StatusOK)
	if string(first.body) != string(again.body) || first.header.Get("ETag") != again.header.Get("ETag") {
		t.Errorf("first %s, again %s", first.body, again.body)
	}
	setCrews(s, 5, key("a")).problem(http.StatusUnprocessableEntity, "key-used", "key of its own")
	s.send("PUT", garden+"/trades/framing/crews", `{"crews":2}`, key("a")).problem(http.StatusUnprocessableEntity, "key-used")
	if job := into[JobBody](s.get(garden)); job.Revision != 3 {
		t.Errorf("revision %d", job.Revision)
	}
	// What was refused may be mended under its key.
	setCrews(s, 0, key("b")).problem(http.StatusUnprocessableEntity, "invalid")
	setCrews(s, 4, key("b")).want(http.StatusOK)
	setCrews(s, 4, key(strings.Repeat("k", 201))).problem(http.StatusUnprocessableEntity, "invalid", "200")
	huge := strings.Repeat("x", maxBody+1)
	s.send("PUT", garden+"/trades/cladding/crews", huge, key("c")).problem(http.StatusRequestEntityTooLarge, "about:blank")
}

func TestUndoAndPastStates(t *testing.T) {
	s := newSite(t).withExample()
	before := string(s.get(garden + "/file").body)
	setCrews(s, 2).want(http.StatusOK)
	setCrews(s, 3).want(http.StatusOK)
	undo := func(body string, withs ...with) answer { return s.send("POST", garden+"/undo", body, withs...) }

	undo(`{"revision":2}`).problem(http.StatusConflict, "built-on", "later changes first")
	undo(`{}`, header("If-Match", `"2"`)).problem(http.StatusPreconditionFailed, "stale")
	if c := into[ChangedBody](undo(`{}`).want(http.StatusOK)); c.Revision != 4 {
		t.Errorf("%+v", c)
	}
	undo(`{"revision":3}`).problem(http.StatusConflict, "already", "undone already")
	undo(`{}`).want(http.StatusOK)
	if now := string(s.get(garden + "/file").body); now != before {
		t.Errorf("not as before:\n%s", now)
	}
	undo(`{}`).problem(http.StatusUnprocessableEntity, "impossible", "first revision")
	undo(`{"revision":99}`).problem(http.StatusNotFound, "not-kept")

	past := s.get(garden + "/revisions/3/file").want(http.StatusOK)
	if want := "crews: 3"; past.header.Get("Content-Type") != yamlType || !strings.Contains(string(past.body), want) {
		t.Errorf("%s without %s:\n%s", past.header.Get("Content-Type"), want, past.body)
	}
	s.get(garden+"/revisions/6/file").problem(http.StatusNotFound, "not-kept")
	s.get("/api/jobs/none/revisions/1/file").problem(http.StatusNotFound, "not-found")

	list := func(query string) []RevisionLine {
		return into[RevisionsBody](s.get(garden + "/revisions" + query).want(http.StatusOK)).Revisions
	}
	all := list("")
	if len(all) != 5 || all[0].Revision != 5 || *all[0].Undoes != 2 || *all[2].UndoneBy != 4 || all[4].UndoneBy != nil {
		t.Errorf("%+v", all)
	}
	if part := list("?before=4&limit=2"); len(part) != 2 || part[0].Revision != 3 {
		t.Errorf("%+v", part)
	}
	s.get("/api/jobs/none/revisions").problem(http.StatusNotFound, "not-found")
	lines := into[HistoryBody](s.get(garden + "/history?before=3&limit=1").want(http.StatusOK)).Lines
	if len(lines) != 1 || lines[0].Revision != 2 {
		t.Errorf("%+v", lines)
	}
}
