package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"gaugerod/scheduler/jobfile"
)

// maxRows is how many lines a form takes under one heading.
const maxRows = 200

// typed is a form as it was sent, turned into what a job file would say.
type typed struct {
	values url.Values
	where  map[string]string // the field that a path of keys came from
	long   []string          // fields with more text than is taken
}

// readThing puts what was typed into a thing; keys that the form does not ask for stay.
func readThing(values url.Values, fields []asked, thing jobfile.Value) (jobfile.Value, *typed) {
	t := &typed{values: values, where: map[string]string{}}
	thing.Is = jobfile.Keys
	thing.Keys = slices.Clone(thing.Keys)
	for k := range fields {
		t.read(&fields[k], "", nil, &thing)
	}
	return thing, t
}

func (t *typed) get(name string) string {
	s := strings.TrimSpace(strings.ReplaceAll(t.values.Get(name), "\r\n", "\n"))
	if len(s) > maxField {
		t.long = append(t.long, name)
		return s[:0]
	}
	return s
}

// read puts the answer to one question into a thing. Names of fields begin with prefix;
// path is where the thing lies.
func (t *typed) read(a *asked, prefix string, path []string, thing *jobfile.Value) {
	name := prefix + a.key
	at := append(slices.Clone(path), strings.Split(a.key, ".")...)
	note := func(field string, at ...string) { t.where[strings.Join(at, " ")] = field }
	note(name, at...)
	before := wordsIn(*thing, a)
	dropIn(thing, a.key)
	switch a.input {
	case aEnd, aPoint:
		t.readPoint(a, prefix, path, thing)
	case aYes:
		if t.get(name) != "" {
			setIn(thing, a.key, jobfile.Value{Word: "true", Loose: true})
		}
	case aNumber:
		if s := t.get(name); s != "" {
			setIn(thing, a.key, jobfile.Value{Word: s, Loose: true})
		}
	case aChosen, aWords:
		all := inOrder(t.several(name), before)
		if a.single != "" {
			note(name, append(slices.Clone(path), a.single)...)
			thing.Drop(a.single)
			if len(all) == 1 {
				thing.Set(a.single, jobfile.Value{Word: all[0]})
				return
			}
		}
		if len(all) > 0 {
			setIn(thing, a.key, jobfile.Words(all...))
		}
	case aRows:
		if rows := t.readRows(a, prefix, at); rows.Is != jobfile.Word {
			thing.Set(a.key, rows)
		}
	default:
		if s := t.get(name); s != "" {
			setIn(thing, a.key, jobfile.Value{Word: s})
		}
	}
}

// several is the names chosen in boxes or written with commas between.
func (t *typed) several(name string) []string {
	var all []string
	for _, v := range t.values[name] {
		if len(v) > maxField {
			t.long = append(t.long, name)
			continue
		}
		for s := range strings.SplitSeq(v, ",") {
			if s = strings.TrimSpace(s); s != "" {
				all = append(all, s)
			}
		}
	}
	return all
}

// wordsIn is the several words that stand under a question's key.
func wordsIn(thing jobfile.Value, a *asked) []string {
	if one, ok := thing.Find(a.single); ok && a.single != "" {
		return []string{one.Word}
	}
	v, _ := in(thing, a.key)
	var all []string
	for k := range v.List {
		all = append(all, v.List[k].Word)
	}
	return all
}

// inOrder is words with those that were there before in the order in which they were:
// boxes to tick stand in an order of their own.
func inOrder(words, before []string) []string {
	slices.SortStableFunc(words, func(x, y string) int {
		return place(before, x) - place(before, y)
	})
	return words
}

func place(words []string, word string) int {
	if k := slices.Index(words, word); k >= 0 {
		return k
	}
	return len(words)
}

// readPoint reads one end of a step.
func (t *typed) readPoint(a *asked, prefix string, path []string, thing *jobfile.Value) {
	name := endName(a, prefix)
	end, step := t.get(name+"-end"), t.get(name+"-step")
	if end != "start" {
		end = "finish"
	}
	at := path
	if a.input == aPoint {
		at = append(slices.Clone(path), a.key)
	}
	for _, end := range []string{"finish", "start"} {
		t.where[strings.Join(append(slices.Clone(at), end), " ")] = name + "-step"
		if a.input == aEnd {
			thing.Drop(end)
		}
	}
	t.where[strings.Join(at, " ")] = name + "-step"
	if step == "" {
		return
	}
	if a.input == aEnd {
		thing.Set(end, jobfile.Value{Word: step})
		return
	}
	var p jobfile.Value
	p.Set(end, jobfile.Value{Word: step})
	thing.Set(a.key, p)
}

// endName is what the fields of an end of a step begin with.
func endName(a *asked, prefix string) string {
	if a.input == aEnd {
		return strings.TrimSuffix(prefix, "-")
	}
	return prefix + a.key
}

// readRows reads the lines under a heading; those left empty do not count.
func (t *typed) readRows(a *asked, prefix string, path []string) jobfile.Value {
	var all jobfile.Value
	for k := range t.rows(prefix + a.key) {
		row := prefix + a.key + "-" + strconv.Itoa(k) + "-"
		if t.get(row+"out") != "" {
			continue
		}
		var item jobfile.Value
		key := strconv.Itoa(len(all.List))
		if a.named {
			title := t.get(row + "title")
			if key = t.get(row + "name"); key == "" {
				key = shortName(title, func(s string) bool { _, taken := all.Find(s); return taken })
			}
		}
		at := append(slices.Clone(path), key)
		for n := range a.rows {
			t.read(&a.rows[n], row, at, &item)
		}
		if len(item.Keys) == 0 {
			continue
		}
		first := row + a.rows[0].key
		if a.rows[0].input == aEnd {
			first = row + "step"
		}
		t.where[strings.Join(at, " ")] = first
		if a.named {
			if _, twice := all.Find(key); twice {
				key = shortName(key, func(s string) bool { _, taken := all.Find(s); return taken })
			}
			all.Set(key, item)
			continue
		}
		all.Is, all.List = jobfile.List, append(all.List, item)
	}
	return all
}

// rows is how many lines were sent under a heading.
func (t *typed) rows(name string) int {
	n := 0
	for field := range t.values {
		rest, ok := strings.CutPrefix(field, name+"-")
		if !ok {
			continue
		}
		number, _, _ := strings.Cut(rest, "-")
		if k, err := strconv.Atoi(number); err == nil && k >= n && k < maxRows {
			n = k + 1
		}
	}
	return n
}

// field is the field that a fault at a path is about, empty where there is none.
func (t *typed) field(at []string) string {
	for n := len(at); n > 0; n-- {
		if name, ok := t.where[strings.Join(at[:n], " ")]; ok {
			return name
		}
	}
	return ""
}

// in finds a key such as "weather.dry".
func in(thing jobfile.Value, key string) (jobfile.Value, bool) {
	head, rest, more := strings.Cut(key, ".")
	v, ok := thing.Find(head)
	if ok && more {
		return in(v, rest)
	}
	return v, ok
}

func setIn(thing *jobfile.Value, key string, to jobfile.Value) {
	head, rest, more := strings.Cut(key, ".")
	if !more {
		thing.Set(head, to)
		return
	}
	inner, _ := thing.Find(head)
	setIn(&inner, rest, to)
	thing.Set(head, inner)
}

// dropIn takes a key away, and what is then empty around it.
func dropIn(thing *jobfile.Value, key string) {
	head, rest, more := strings.Cut(key, ".")
	if !more {
		thing.Drop(head)
		return
	}
	inner, ok := thing.Find(head)
	if !ok {
		return
	}
	inner.Keys = slices.Clone(inner.Keys)
	dropIn(&inner, rest)
	if len(inner.Keys) == 0 {
		thing.Drop(head)
		return
	}
	thing.Set(head, inner)
}

// shortName makes a name out of a title that nothing else has.
func shortName(title string, taken func(string) bool) string {
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	name := strings.Join(words, "-")
	if len(name) > 40 {
		name = strings.Trim(name[:40], "-")
	}
	if name == "" {
		name = "thing"
	}
	unique := name
	for k := 2; taken(unique); k++ {
		unique = name + "-" + strconv.Itoa(k)
	}
	return unique
}
