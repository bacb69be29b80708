package db

import (
	"encoding/json"
	"slices"
)

// written is the given things as JSON: each an object of the columns of its own
// row and a list for each kind of part.
func written(state [][]row, wanted map[thing]bool) (map[thing]json.RawMessage, error) {
	objects := map[thing]map[string]any{}
	for k, t := range tables {
		kind, part := t.of()
		shape := t.shape()
		for _, r := range state[k] {
			is := thing{kind, r.thing}
			if !wanted[is] {
				continue
			}
			columns, err := columnsOf(r.value)
			if err != nil {
				return nil, err
			}
			delete(columns, "nr")
			if part == "" {
				objects[is] = columns
				continue
			}
			for name := range columns {
				if slices.Contains(shape.owner, name) {
					delete(columns, name)
				}
			}
			listed, _ := objects[is][part].([]any)
			objects[is][part] = append(listed, bare(columns))
		}
	}
	texts := make(map[thing]json.RawMessage, len(objects))
	for is, o := range objects {
		text, err := json.Marshal(o)
		if err != nil {
			return nil, err
		}
		texts[is] = text
	}
	return texts, nil
}

// columnsOf is a row by its columns; those without a value are left out.
func columnsOf(value any) (map[string]any, error) {
	text, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	var columns map[string]any
	if err := json.Unmarshal(text, &columns); err != nil {
		return nil, err
	}
	for name, v := range columns {
		if v == nil || v == "" {
			delete(columns, name)
		}
	}
	return columns, nil
}

// bare is the value itself where there is but one.
func bare(columns map[string]any) any {
	if len(columns) == 1 {
		for _, v := range columns {
			return v
		}
	}
	return columns
}
