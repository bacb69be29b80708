package web

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// editField is one field of a form that changes a thing, ready to be shown.
type editField struct {
	Name, ID, Label, Hint string
	Kind                  string // text, long, number, day, yes, choice, step, boxes, end, rows
	Value                 string
	Checked, Must         bool
	Options               template.HTML
	Boxes                 []editBox
	Rows                  []editRow
	Problem               string
}

// editBox is one box to tick, of several.
type editBox struct {
	ID, Value, Text string
	Checked         bool
}

// editRow is one line under a heading.
type editRow struct {
	Number  int
	Name    string // of what it is about, where it has one
	NameKey string // the field that holds it
	Out     string // the field that takes it out; empty on a line not filled in yet
	Up      string // the button that moves it up, empty: it cannot be
	Down    string
	Focus   string // the one of the two that was pressed
	Label   string // of the row, for those who cannot see it
	Fields  []editField
}

// stock is what can be chosen from in the forms of a job.
type stock struct {
	lists map[string][]choice
	steps []choice
}

// maxBoxes and maxOptions are how many names are still shown to be chosen from.
const (
	maxBoxes   = 60
	maxOptions = 400
)

func (b *board) stock(within *scheduler.Typical) *stock {
	s := &stock{lists: map[string][]choice{}}
	add := func(list string, id scheduler.ID, title string) {
		s.lists[list] = append(s.lists[list], choice{string(id), title})
	}
	for _, x := range b.Job.People {
		add("people", x.ID, x.Name)
		add("parties", x.ID, x.Name)
	}
	for k := range b.Job.Trades {
		add("trades", b.Job.Trades[k].ID, b.Job.Trades[k].Title)
		add("parties", b.Job.Trades[k].ID, b.Job.Trades[k].Title)
	}
	for k := range b.Job.Gear {
		add("gear", b.Job.Gear[k].ID, b.Job.Gear[k].Title)
	}
	for k := range b.Job.Places {
		add("places", b.Job.Places[k].ID, b.Job.Places[k].Title)
	}
	for _, w := range scheduler.Roles {
		add("roles", scheduler.ID(w), string(w))
	}
	for _, w := range scheduler.HoldKinds {
		add("kinds", scheduler.ID(w), string(w))
	}
	for _, w := range scheduler.Reasons {
		add("reasons", scheduler.ID(w), string(w))
	}
	for _, w := range scheduler.Cautions {
		add("cautions", scheduler.ID(w), string(w))
	}
	if within != nil {
		s.addSteps("", within.Tasks, within.Holds)
	}
	s.addSteps("", b.Job.Tasks, b.Job.Holds)
	for k := range b.Job.Orders {
		o := &b.Job.Orders[k]
		for n := range o.Stages {
			s.steps = append(s.steps, choice{string(o.ID + "." + o.Stages[n].ID), o.Title + ": " + o.Stages[n].Title})
		}
		s.steps = append(s.steps, choice{string(o.ID + "." + scheduler.DeliveryStage), o.Title + ": delivery"})
	}
	for k := range b.Job.Typicals {
		t := &b.Job.Typicals[k]
		s.addSteps(string(t.ID)+".", t.Tasks, t.Holds)
	}
	return s
}

func (s *stock) addSteps(prefix string, tasks []scheduler.Task, holds []scheduler.Hold) {
	for k := range tasks {
		s.steps = append(s.steps, choice{prefix + string(tasks[k].ID), tasks[k].Title})
	}
	for k := range holds {
		s.steps = append(s.steps, choice{prefix + string(holds[k].ID), holds[k].Title})
	}
}

// Steps is the names of steps as proposals for the fields that take one.
func (s *stock) stepOptions() template.HTML {
	if len(s.steps) > maxOptions {
		return ""
	}
	return written(s.steps, "")
}

// shownThing is the fields of a thing as it stands; t is what was typed where the form
// comes back, else nil.
type shownThing struct {
	stock    *stock
	typed    *typed
	problems map[string]string
	more     string // the heading under which more lines are asked for
	moved    rowMove
}

func (s *shownThing) fields(all []asked, thing jobfile.Value) []editField {
	out := make([]editField, 0, len(all))
	for k := range all {
		out = append(out, s.field(&all[k], "", thing)...)
	}
	return out
}

// field shows one question; an end of a step is two fields.
func (s *shownThing) field(a *asked, prefix string, thing jobfile.Value) []editField {
	name := prefix + a.key
	f := editField{Name: name, ID: fieldID(name), Label: a.label, Hint: a.hint, Must: a.must, Problem: s.problems[name]}
	v, _ := in(thing, a.key)
	f.Value = v.Word
	if s.typed != nil {
		f.Value = s.typed.values.Get(name)
	}
	switch a.input {
	case aEnd, aPoint:
		return s.point(a, prefix, thing)
	case aYes:
		f.Kind, f.Checked = "yes", f.Value != ""
	case aDay:
		f.Kind = "day"
	case aNumber:
		f.Kind = "number"
	case aLong:
		f.Kind = "long"
	case aStep:
		f.Kind = "step"
	case aChoice:
		f.Kind, f.Options = s.choice(a.from, f.Value)
	case aWords:
		f.Kind, f.Value = "text", strings.Join(s.chosen(a, name, thing), ", ")
	case aChosen:
		s.boxes(a, &f, s.chosen(a, name, thing))
	case aRows:
		f.Kind, f.Rows = "rows", s.rows(a, name, v)
	default:
		f.Kind = "text"
	}
	return []editField{f}
}

// fieldID is a field's name as an ID that no other thing on a page has.
func fieldID(name string) string { return "ask-" + strings.ReplaceAll(name, ".", "-") }

// choice is a list to choose one from; what is there and not in the list stays.
func (s *shownThing) choice(from, value string) (string, template.HTML) {
	all := s.stock.lists[from]
	if len(all) > maxOptions {
		return "text", ""
	}
	if value != "" && !slices.ContainsFunc(all, func(c choice) bool { return c.Value == value }) {
		all = append(slices.Clone(all), choice{value, value})
	}
	return "choice", written(all, value)
}

// chosen is the names that stand in a field.
func (s *shownThing) chosen(a *asked, name string, thing jobfile.Value) []string {
	if s.typed != nil {
		return s.typed.several(name)
	}
	return wordsIn(thing, a)
}

// boxes shows several names to tick, or a line to write them where they are many.
func (s *shownThing) boxes(a *asked, f *editField, chosen []string) {
	all := s.stock.lists[a.from]
	if len(all) > maxBoxes {
		f.Kind, f.Value = "text", strings.Join(chosen, ", ")
		f.Hint = "names, with commas between"
		return
	}
	f.Kind = "boxes"
	for _, w := range chosen {
		if !slices.ContainsFunc(all, func(c choice) bool { return c.Value == w }) {
			all = append(slices.Clone(all), choice{w, w})
		}
	}
	for k, c := range all {
		f.Boxes = append(f.Boxes, editBox{f.ID + "-" + strconv.Itoa(k), c.Value, c.Text, slices.Contains(chosen, c.Value)})
	}
}

// point shows an end of a step as two fields: which end, and of what.
func (s *shownThing) point(a *asked, prefix string, thing jobfile.Value) []editField {
	name := endName(a, prefix)
	at := thing
	if a.input == aPoint {
		at, _ = thing.Find(a.key)
	}
	end, step := "finish", ""
	if v, ok := at.Find("start"); ok {
		end, step = "start", v.Word
	} else if v, ok := at.Find("finish"); ok {
		step = v.Word
	}
	if s.typed != nil {
		end, step = s.typed.values.Get(name+"-end"), s.typed.values.Get(name+"-step")
	}
	ends := []choice{{"finish", "finish of"}, {"start", "start of"}}
	which, of := a.label+": which end", a.label+": step"
	if a.input == aEnd {
		which, of = "Which end", "Step"
	}
	return []editField{
		{Name: name + "-end", ID: fieldID(name + "-end"), Label: which, Kind: "end", Options: written(ends, end)},
		{Name: name + "-step", ID: fieldID(name + "-step"), Label: of, Kind: "step", Value: step, Problem: s.problems[name+"-step"]},
	}
}

// moves gives a line its buttons to change places with those beside it.
func (r *editRow) moves(name string, k, filled int, moved rowMove) {
	if k > 0 {
		r.Up = moveUp + "-" + name + "-" + strconv.Itoa(k)
	}
	if k < filled-1 {
		r.Down = moveDown + "-" + name + "-" + strconv.Itoa(k)
	}
	if moved.rows != name || moved.row != k {
		return
	}
	r.Focus = moveUp
	if moved.way == moveDown && r.Down != "" || r.Up == "" {
		r.Focus = moveDown
	}
}

// rows shows the lines under a heading and an empty one after them.
func (s *shownThing) rows(a *asked, name string, v jobfile.Value) []editRow {
	type line struct {
		name  string
		value jobfile.Value
	}
	var lines []line
	for k := range v.List {
		lines = append(lines, line{"", v.List[k]})
	}
	for k := range v.Keys {
		lines = append(lines, line{v.Keys[k].Key, v.Keys[k].Value})
	}
	filled := len(lines)
	if s.typed != nil {
		filled = s.typed.rows(name)
		lines = nil
		for k := range filled {
			lines = append(lines, line{name: s.typed.values.Get(name + "-" + strconv.Itoa(k) + "-name")})
		}
	}
	if s.typed == nil {
		lines = append(lines, line{})
	}
	if s.more == name {
		lines = append(lines, line{}, line{}, line{})
	}
	out := make([]editRow, 0, len(lines))
	for k, l := range lines[:min(len(lines), maxRows)] {
		prefix := name + "-" + strconv.Itoa(k) + "-"
		r := editRow{Number: k + 1, Name: l.name, Label: a.label + " " + strconv.Itoa(k+1)}
		if a.named && l.name != "" {
			r.NameKey = prefix + "name"
		}
		if k < filled {
			r.Out = prefix + "out"
		}
		if a.named && k < filled {
			r.moves(name, k, filled, s.moved)
		}
		for n := range a.rows {
			r.Fields = append(r.Fields, s.field(&a.rows[n], prefix, l.value)...)
		}
		out = append(out, r)
	}
	return out
}
