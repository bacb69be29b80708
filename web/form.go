package web

import (
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler/worktime"
)

// form is what somebody typed, with what is wrong with it, field by field.
type form struct {
	Name     string // the last part of Action, and what its fields' IDs begin with
	Action   string
	Wrong    string // what is wrong with the whole
	About    string // what it changes, by its key in the history; empty: nothing that others may have changed
	values   map[string]string
	problems map[string]string
}

// Value is what stands in a field.
func (f form) Value(field string) string { return f.values[field] }

// Problem is what is wrong with a field, empty: nothing.
func (f form) Problem(field string) string { return f.problems[field] }

// Is says whether a field holds a value, for lists to choose from.
func (f form) Is(field, value string) bool { return f.values[field] == value }

// Bad says whether any field has a problem.
func (f form) Bad() bool { return len(f.problems) > 0 }

func (f form) ok() bool { return f.Wrong == "" && len(f.problems) == 0 }

func (f *form) set(field, value string) {
	if f == nil { // a form that its reader may not send
		return
	}
	if f.values == nil {
		f.values = map[string]string{}
	}
	f.values[field] = value
}

func (f *form) wrong(field, problem string) {
	if f.problems == nil {
		f.problems = map[string]string{}
	}
	f.problems[field] = problem
}

// maxField is the longest text taken from one field, in bytes.
const maxField = 4000

func readForm(c echo.Context, fields ...string) form {
	f := form{values: map[string]string{}}
	for _, name := range fields {
		v := strings.TrimSpace(c.FormValue(name))
		if len(v) > maxField {
			f.wrong(name, "That is too long.")
			v = ""
		}
		f.values[name] = v
	}
	return f
}

// when reads a day with an optional time from two fields; nil where the day is empty.
func (f *form) when(day, clock string) *worktime.When {
	d, t := f.values[day], f.values[clock]
	if d == "" {
		if t != "" {
			f.wrong(day, "Give the day too.")
		}
		return nil
	}
	date, err := worktime.ParseDate(d)
	if err != nil {
		f.wrong(day, err.Error())
		return nil
	}
	w := &worktime.When{Day: date}
	if t == "" {
		return w
	}
	at, err := worktime.ParseClock(t)
	if err != nil {
		f.wrong(clock, err.Error())
		return nil
	}
	w.Time = &at
	return w
}

// mustWhen is when, of the field day, which is needed.
func (f *form) mustWhen(clock string) worktime.When {
	const day = "day"
	if w := f.when(day, clock); w != nil {
		return *w
	}
	if f.problems[day] == "" && f.problems[clock] == "" {
		f.wrong(day, "Give a day.")
	}
	return worktime.When{}
}

// fill puts a recorded day into a form's fields.
func (f *form) fill(day, clock string, w *worktime.When) {
	if w == nil {
		return
	}
	f.set(day, w.Day.String())
	if w.Time != nil {
		f.set(clock, w.Time.String())
	}
}
