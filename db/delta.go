package db

import (
	"cmp"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"gaugerod/scheduler"
)

// delta is what a change did to one table of a job: the rows that went or changed as
// they were, and those that came or changed as they are.
type delta struct {
	Table string          `json:"table"`
	Was   json.RawMessage `json:"was,omitempty"`
	Is    json.RawMessage `json:"is,omitempty"`
}

// deltasOf keeps differences together with the rows before them.
func deltasOf(was [][]row, differences []difference) ([]delta, error) {
	var all []delta
	for k, d := range differences {
		if d.none() {
			continue
		}
		changed := make(map[string]bool, len(d.update)+len(d.delete))
		for _, r := range slices.Concat(d.update, d.delete) {
			changed[r.key] = true
		}
		var before []row
		for _, r := range was[k] {
			if changed[r.key] {
				before = append(before, r)
			}
		}
		next := delta{Table: writing[k].table}
		var err error
		if next.Was, err = valuesOf(before); err != nil {
			return nil, err
		}
		if next.Is, err = valuesOf(slices.Concat(d.update, d.insert)); err != nil {
			return nil, err
		}
		all = append(all, next)
	}
	return all, nil
}

// valuesOf is rows as a JSON array, nil where there are none.
func valuesOf(rows []row) (json.RawMessage, error) {
	if len(rows) == 0 {
		return nil, nil
	}
	values := make([]any, len(rows))
	for k := range rows {
		values[k] = rows[k].value
	}
	return json.Marshal(values)
}

// rowsFrom reads rows back from a delta.
func rowsFrom(t table, text json.RawMessage) ([]row, error) {
	if text == nil {
		return nil, nil
	}
	d, err := t.decode(text)
	if err != nil {
		return nil, err
	}
	return d.rows(), nil
}

// takeBack turns the rows of all tables into what they were before the deltas.
// ErrBuiltOn where a row is no longer as the deltas left it, except for its place in
// the order.
func takeBack(rows [][]row, deltas []delta) error {
	byName := make(map[string]int, len(tables))
	for k := range tables {
		byName[writing[k].table] = k
	}
	for _, d := range deltas {
		k, known := byName[d.Table]
		if !known {
			return fmt.Errorf("the history speaks of a table %q: %w", d.Table, ErrNotKept)
		}
		was, err := rowsFrom(tables[k], d.Was)
		if err != nil {
			return err
		}
		is, err := rowsFrom(tables[k], d.Is)
		if err != nil {
			return err
		}
		if rows[k], err = invert(rows[k], was, is); err != nil {
			return fmt.Errorf("%s: %w", d.Table, err)
		}
	}
	return nil
}

// invert puts rows as they were in the place of rows as they are.
func invert(rows, was, is []row) ([]row, error) {
	came := make(map[string]*row, len(is))
	for k := range is {
		came[is[k].key] = &is[k]
	}
	kept := make([]row, 0, len(rows)+len(was))
	there := make(map[string]bool)
	for k := range rows {
		r := &rows[k]
		expected := came[r.key]
		if expected == nil {
			there[r.key] = true
			kept = append(kept, *r)
			continue
		}
		if !alike(r, expected) {
			return nil, fmt.Errorf("%s: %w", r.key, ErrBuiltOn)
		}
		delete(came, r.key)
	}
	for key := range came {
		return nil, fmt.Errorf("%s: %w", key, ErrBuiltOn) // it has gone since
	}
	for k := range was {
		if there[was[k].key] {
			return nil, fmt.Errorf("%s: %w", was[k].key, ErrBuiltOn) // another has its name now
		}
	}
	kept = append(kept, was...)
	slices.SortStableFunc(kept, func(a, b row) int {
		if a.nr == nil || b.nr == nil {
			return 0
		}
		return cmp.Compare(*a.nr, *b.nr)
	})
	return kept, nil
}

// alike says whether two rows are the same but for their place in the order.
func alike(a, b *row) bool {
	if a.nr == nil {
		return reflect.DeepEqual(a.value, b.value)
	}
	own := *b.nr
	*b.nr = *a.nr
	same := reflect.DeepEqual(a.value, b.value)
	*b.nr = own
	return same
}

// stateFrom puts rows together to a job again, with copies of the rows.
func stateFrom(id scheduler.ID, rows [][]row) (*state, error) {
	s := &state{tables: make([]decoded, len(tables))}
	for k, t := range tables {
		text, err := valuesOf(rows[k])
		if err != nil {
			return nil, err
		}
		if text == nil {
			text = json.RawMessage(`[]`)
		}
		if s.tables[k], err = t.decode(text); err != nil {
			return nil, err
		}
	}
	s.job = s.join(id)
	return s, nil
}
