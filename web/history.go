package web

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// historyLines is how many changes the page shows.
const historyLines = 200

type historyPage struct {
	Frame
	Changes []change
	Older   string // where older changes are, empty: there are none
	Action  string // undoes
	Form    form   // of the undoing that was sent back

	Searches []Line // for a better plan, the newest first; only beside the newest changes
}

// change is all that one revision changed.
type change struct {
	Revision  int64
	At        Part
	Who       string
	Note      string // what it was as a whole; empty: its lines say it
	Lines     []changeLine
	More, All int
	File      string // the job as it was then
	Undoes    int64  // the revision that it undid, 0: none
	UndoneBy  int64  // the revision that undid it, 0: it stands
	Undoable  bool
}

type changeLine struct {
	What   Line
	Fields []field
}

// field is one thing that changed about a thing; an empty Was or Is: it was not there.
type field struct{ Name, Was, Is string }

func (historyPage) name() string { return "history" }

func (p *Pages) history(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	return p.showHistory(c, b, http.StatusOK, form{})
}

// showHistory shows the changes before the revision that the address asks for, else
// the newest.
func (p *Pages) showHistory(c echo.Context, b *board, status int, in form) error {
	before, err := strconv.ParseInt(cmp.Or(c.QueryParam("before"), "0"), 10, 64)
	if err != nil || before < 0 {
		return echo.NewHTTPError(http.StatusBadRequest, "before names no revision")
	}
	ctx := c.Request().Context()
	lines, err := p.office.History(ctx, b.Job.ID, before, historyLines+1)
	if err != nil {
		return err
	}
	revisions, err := p.office.Revisions(ctx, b.Job.ID, before, historyLines)
	if err != nil {
		return err
	}
	pg := newHistoryPage(b, lines, revisions)
	pg.Form = in
	if before == 0 {
		searches, err := p.office.Searches(ctx, b.Job.ID, searchesShown)
		if err != nil {
			return err
		}
		for k := range searches {
			pg.Searches = append(pg.Searches, b.searched(&searches[k]))
		}
	}
	pg.say(c, b)
	return p.render(c, status, pg)
}

// undo takes one change back.
func (p *Pages) undo(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	in := readForm(c, "revision")
	revision, err := strconv.ParseInt(in.Value("revision"), 10, 64)
	if err != nil || revision < 1 {
		return echo.NewHTTPError(http.StatusBadRequest, "revision names none")
	}
	_, err = p.office.Undo(c.Request().Context(), b.Job.ID, revision, !b.visitor.Owns(), p.edit(c, &in))
	switch {
	case errors.Is(err, db.ErrBuiltOn):
		in.Wrong = fmt.Sprintf("Somebody has changed the same things since revision %d, so it cannot be undone by itself. Undo the later changes first.", revision)
		err = errAgain
	case err != nil:
		err = in.take(b, err)
		in.Wrong = cmp.Or(in.Wrong, in.Problem("revision"))
	default:
		return p.leadOn(c, b.Job.ID, b.base+"/history?said=undone")
	}
	return p.orAgain(err, func(status int) error { return p.showHistory(c, b, status, in) })
}

// shownLines is how many lines of one change are shown: loading a job makes hundreds.
const shownLines = 12

func newHistoryPage(b *board, lines []db.HistoryLine, revisions []db.Revision) historyPage {
	pg := historyPage{Frame: b.frame("History", "/history"), Action: b.link("/undo")}
	lines, more := whole(lines)
	if more {
		pg.Older = b.base + "/history?before=" + strconv.FormatInt(lines[len(lines)-1].Revision, 10)
	}
	kept := index(revisions, func(r *db.Revision) scheduler.ID { return revisionKey(r.Number) })
	for _, l := range lines {
		if n := len(pg.Changes); n == 0 || pg.Changes[n-1].Revision != l.Revision {
			next := change{Revision: l.Revision, At: b.at(l.At).is(recordedDay), Who: b.who(scheduler.ID(l.Who))}
			next.standing(b, kept[revisionKey(l.Revision)])
			pg.Changes = append(pg.Changes, next)
		}
		last := &pg.Changes[len(pg.Changes)-1]
		last.All++
		if last.All > shownLines {
			last.More++
			continue
		}
		last.Lines = append(last.Lines, b.changeLine(l))
	}
	return pg
}

// whole leaves out the last change where not all of its lines may be there.
func whole(lines []db.HistoryLine) (shown []db.HistoryLine, more bool) {
	if len(lines) <= historyLines {
		return lines, false
	}
	last := lines[historyLines].Revision
	end := slices.IndexFunc(lines, func(l db.HistoryLine) bool { return l.Revision == last })
	if end == 0 { // one change fills the page
		end = historyLines
	}
	return lines[:end], lines[end-1].Revision > 1
}

func revisionKey(n int64) scheduler.ID { return scheduler.ID(strconv.FormatInt(n, 10)) }

// standing fills in what became of a change; nil: it was made before that was kept.
func (ch *change) standing(b *board, r *db.Revision) {
	if r == nil {
		return
	}
	ch.File = b.base + "/revisions/" + strconv.FormatInt(r.Number, 10) + "/file"
	if r.Undoes != nil {
		ch.Undoes = *r.Undoes
	}
	if r.UndoneBy != nil {
		ch.UndoneBy = *r.UndoneBy
	}
	ch.Note = upper(r.Note)
	mine := b.visitor.Owns() || r.By(b.visitor.Author())
	ch.Undoable = r.UndoneBy == nil && r.Number > 1 && mine && b.may("/undo")
}

// pastFile is the job as it was at a revision, as a job file to keep.
func (p *Pages) pastFile(c echo.Context) error {
	revision, err := strconv.ParseInt(c.Param("revision"), 10, 64)
	if err != nil {
		return scheduler.ErrNotFound
	}
	id := scheduler.ID(c.Param("job"))
	job, err := p.office.JobAt(c.Request().Context(), id, revision)
	if err != nil {
		return err
	}
	text, err := jobfile.Write(job)
	if err != nil {
		return err
	}
	name := fmt.Sprintf("%s-%d.job.yaml", job.ID, revision)
	c.Response().Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	return c.Blob(http.StatusOK, "application/yaml", text)
}

func (b *board) changeLine(l db.HistoryLine) changeLine {
	key := Part{Text: l.Key}
	if b.steps[scheduler.ID(l.Key)] != nil {
		key = b.step(scheduler.ID(l.Key))
	}
	verb := " changed"
	switch {
	case l.Was == nil:
		verb = " added"
	case l.Is == nil:
		verb = " taken away"
	}
	line := changeLine{What: say(upper(l.Kind)+" ", key, verb), Fields: differing(l.Was, l.Is)}
	if l.Was == nil && spoken[l.Kind] {
		line.Fields = differing([]byte("{}"), l.Is)
	}
	return line
}

// spoken are the kinds of things that people say day by day: of these all that is
// new is told, of others only that they are.
var spoken = map[string]bool{"fact": true, "waiver": true, "pin": true, "aside": true, "issue": true, "answer": true}

// differing lists the fields in which two JSON objects differ, by name. Nothing is
// listed for what is new or gone as a whole.
func differing(was, is []byte) []field {
	var before, after map[string]any
	if was == nil || is == nil || json.Unmarshal(was, &before) != nil || json.Unmarshal(is, &after) != nil {
		return nil
	}
	var names []string
	for name := range before {
		names = append(names, name)
	}
	for name := range after {
		if _, known := before[name]; !known {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	var fields []field
	for _, name := range names {
		w, i := plain(before[name]), plain(after[name])
		if w != i {
			fields = append(fields, field{Name: strings.ToLower(strings.ReplaceAll(name, "_", " ")), Was: w, Is: i})
		}
	}
	return fields
}

// plain is a JSON value as a reader would write it.
func plain(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case float64, bool:
		return fmt.Sprint(v)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if e.Encode(v) != nil {
		return ""
	}
	return strings.TrimSpace(b.String())
}
