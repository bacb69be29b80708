package db

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"sync"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// content is one table of a job's content and how it corresponds with the job. The
// columns are those of the row type R, by their JSON names; tags tell what they are:
//
//	db:"key"    part of the key within the job
//	db:"owner"  the same, and names the thing that the row is a part of
//
// The column nr is the place in the order of the job.
type content[R any] struct {
	name  string                   // of the table
	kind  string                   // the kind of thing, in the history; empty: it only follows from others
	list  string                   // parts: what the thing calls the list of them
	split func(*scheduler.Job) []R // the rows of a job, in its order
	join  func(*joiner, []R)       // puts rows, in order, into a job that has its owners already
}

// ordered is the place of a row in the order of the job. It has no meaning but to
// be greater than the one before.
type ordered struct {
	Nr int64 `json:"nr"`
}

func (o *ordered) place() *int64 { return &o.Nr }

// table is a content of whatever row type.
type table interface {
	shape() shape
	// of is the kind of thing that rows are or are parts of, and what such a thing
	// calls the list of these parts, empty for the thing itself.
	of() (kind, list string)
	// told is what the history tells of a row, by column: neither the order nor
	// what names the thing that a part belongs to, and nothing that is not given.
	told() func(value any) map[string]any
	// divide splits a job. Where a table comes out as it was, it is the one before;
	// else orders are not given yet.
	divide(job *scheduler.Job, before decoded) decoded
	// decode reads rows from the JSON that the database makes of them.
	decode(data []byte) (decoded, error)
}

// decoded is rows read from the database or about to be written: to be compared, and
// to be put into a job. They may be held for long and used by many at once: once they
// are written nobody changes them.
type decoded struct {
	rs      any  // []R
	count   int  // how many
	kept    bool // it is the one before, as it is written
	rows    func() []row
	join    func(*joiner)
	settled func() decoded // the same in the order in which the database gives them
}

// row is one row of a table.
type row struct {
	key   string // within the table and job
	thing string // the key of the thing it is or is a part of
	value any    // *R
	nr    *int64 // of the value, nil where the order does not matter
}

func (c content[R]) of() (kind, list string) { return c.kind, c.list }

func (c content[R]) shape() shape {
	s := shape{table: c.name}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[R]()) {
		if f.Anonymous {
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		s.columns = append(s.columns, name)
		switch f.Tag.Get("db") {
		case "owner", "key":
			s.key = append(s.key, name)
		}
	}
	return s
}

func (c content[R]) told() func(value any) map[string]any {
	type column struct {
		name string
		at   []int
	}
	var columns []column
	for _, f := range reflect.VisibleFields(reflect.TypeFor[R]()) {
		if !f.Anonymous && f.Name != "Nr" && f.Tag.Get("db") != "owner" {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			columns = append(columns, column{name, f.Index})
		}
	}
	return func(value any) map[string]any {
		row := reflect.ValueOf(value).Elem()
		told := make(map[string]any, len(columns)+3)
		for _, c := range columns {
			v := row.FieldByIndex(c.at)
			nothing := v.Kind() == reflect.Pointer && v.IsNil() || v.Kind() == reflect.String && v.Len() == 0 || v.Type() == reflect.TypeFor[worktime.Span]() && v.IsZero()
			if !nothing {
				told[c.name] = v.Interface()
			}
		}
		return told
	}
}

// fields are the places in R of the key, of what names the thing, and of nr.
type fields struct {
	key, thing [][]int
	nr         []int
}

func fieldsOf[R any](isPart bool) fields {
	var f fields
	for _, field := range reflect.VisibleFields(reflect.TypeFor[R]()) {
		switch tag := field.Tag.Get("db"); {
		case field.Name == "Nr":
			f.nr = field.Index
		case tag == "owner", tag == "key":
			f.key = append(f.key, field.Index)
			if !isPart || tag == "owner" {
				f.thing = append(f.thing, field.Index)
			}
		}
	}
	return f
}

func (c content[R]) divide(job *scheduler.Job, before decoded) decoded {
	rs := c.split(job)
	if was, ok := before.rs.([]R); ok && c.sameRows(was, rs) {
		before.kept = true
		return before
	}
	return c.decoded(rs)
}

// sameRows says whether rows that have no orders yet are otherwise those of before, one
// by one. Where they are not they are left as they came.
func (c content[R]) sameRows(before, rows []R) bool {
	if len(before) != len(rows) {
		return false
	}
	for k := range rows {
		own, inOrder := any(&rows[k]).(interface{ place() *int64 })
		if inOrder {
			*own.place() = *any(&before[k]).(interface{ place() *int64 }).place()
		}
		same := reflect.DeepEqual(&before[k], &rows[k])
		if inOrder {
			*own.place() = 0
		}
		if !same {
			return false
		}
	}
	return true
}

func (c content[R]) decode(data []byte) (decoded, error) {
	var rs []R
	if err := json.Unmarshal(data, &rs); err != nil {
		return decoded{}, fmt.Errorf("read the rows of %s: %w", c.name, err)
	}
	return c.decoded(rs), nil
}

func (c content[R]) decoded(rs []R) decoded {
	return decoded{
		rs:    rs,
		count: len(rs),
		rows:  sync.OnceValue(func() []row { return c.wrap(rs) }),
		join: func(j *joiner) {
			if c.join != nil {
				c.join(j, rs)
			}
		},
		settled: func() decoded { return c.settle(rs) },
	}
}

func (c content[R]) wrap(rs []R) []row {
	f := fieldsOf[R](c.list != "")
	rows := make([]row, len(rs))
	for k := range rs {
		v := reflect.ValueOf(&rs[k]).Elem()
		rows[k] = row{key: joinFields(v, f.key), thing: joinFields(v, f.thing), value: &rs[k]}
		if f.nr != nil {
			rows[k].nr = v.FieldByIndex(f.nr).Addr().Interface().(*int64)
		}
	}
	return rows
}

// joinFields writes fields as one text, joined by dots, which no short name has.
func joinFields(v reflect.Value, at [][]int) string {
	if len(at) == 1 {
		if f := v.FieldByIndex(at[0]); f.Kind() == reflect.String {
			return f.String()
		}
	}
	parts := make([]string, len(at))
	for k, index := range at {
		if f := v.FieldByIndex(index); f.Kind() == reflect.String {
			parts[k] = f.String()
		} else {
			parts[k] = fmt.Sprint(f.Interface())
		}
	}
	return strings.Join(parts, ".")
}

// count is how many rows are so: room for them is made at once.
func count[R any](rows []R, so func(*R) bool) (n int) {
	for k := range rows {
		if so(&rows[k]) {
			n++
		}
	}
	return n
}
