package db

import "encoding/json"

// written is the given things as JSON: each an object of the columns of its own
// row and a list for each kind of part.
func written(state []decoded, wanted map[thing]bool) (map[thing]json.RawMessage, error) {
	objects := map[thing]map[string]any{}
	kinds := map[string]bool{}
	for is := range wanted {
		kinds[is.kind] = true
	}
	for k := range state {
		kind, part := tables[k].of()
		if !kinds[kind] {
			continue
		}
		columnsOf := tables[k].told()
		for _, r := range state[k].rows() {
			is := thing{kind, r.thing}
			if !wanted[is] {
				continue
			}
			columns := columnsOf(r.value)
			if part == "" {
				objects[is] = columns
				continue
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

// bare is the value itself where there is but one.
func bare(columns map[string]any) any {
	if len(columns) == 1 {
		for _, v := range columns {
			return v
		}
	}
	return columns
}
