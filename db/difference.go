package db

import "reflect"

// difference is what has to be written to turn the rows of a table into others.
type difference struct {
	insert, update, delete []row
}

func (d *difference) none() bool { return len(d.insert)+len(d.update)+len(d.delete) == 0 }

// gap is how far apart the orders of rows are set, so that rows can be put between
// them without touching those that follow.
const gap = 1024

// differ compares two states of a table by key. The rows of after are given their
// orders: those they bring or had, as long as these rise.
func differ(before, after []row) (d difference) {
	old := make(map[string]*row, len(before))
	for k := range before {
		old[before[k].key] = &before[k]
	}
	number(old, after)
	for k := range after {
		r := &after[k]
		was, there := old[r.key]
		switch {
		case !there:
			d.insert = append(d.insert, *r)
		case !reflect.DeepEqual(was.value, r.value):
			d.update = append(d.update, *r)
		}
		delete(old, r.key)
	}
	for k := range before {
		if _, gone := old[before[k].key]; gone {
			d.delete = append(d.delete, before[k])
		}
	}
	return d
}

// number gives rows their orders.
func number(old map[string]*row, rows []row) {
	last := -1 // of the rows that were there before
	for k := range rows {
		if old[rows[k].key] != nil {
			last = k
		}
	}
	var at int64
	for k := range rows {
		r := &rows[k]
		if r.nr == nil {
			return
		}
		switch was := old[r.key]; {
		case *r.nr > at:
			at = *r.nr // a row from the past comes back to its place
		case was != nil && *was.nr > at:
			at = *was.nr
		case k > last:
			at += gap
		default:
			at++
		}
		*r.nr = at
	}
}
