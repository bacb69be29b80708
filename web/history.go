package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// historyLines is how many changes the page shows.
const historyLines = 200

type historyPage struct {
	Frame
	Changes []change
	More    bool
}

// change is all that one revision changed.
type change struct {
	Revision  int64
	At        Part
	Who       string
	Lines     []changeLine
	More, All int
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
	lines, err := p.office.History(c.Request().Context(), b.Job.ID, 0, historyLines+1)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newHistoryPage(b, lines))
}

// shownLines is how many lines of one change are shown: loading a job makes hundreds.
const shownLines = 12

func newHistoryPage(b *board, lines []db.HistoryLine) historyPage {
	pg := historyPage{Frame: b.frame("History", "/history"), More: len(lines) > historyLines}
	lines = lines[:min(len(lines), historyLines)]
	for _, l := range lines {
		if n := len(pg.Changes); n == 0 || pg.Changes[n-1].Revision != l.Revision {
			pg.Changes = append(pg.Changes, change{Revision: l.Revision, At: b.at(l.At), Who: b.who(scheduler.ID(l.Who))})
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
var spoken = map[string]bool{"fact": true, "waiver": true, "pin": true, "aside": true}

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
