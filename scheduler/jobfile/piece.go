package jobfile

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// Misfit is a fault of a job in which one thing was changed, with where it is.
type Misfit struct {
	At  []string // keys, and numbers in lists, from the top or from the thing that was put
	Own bool     // it lies in the thing that was put
	scheduler.Fault
}

// Misfits is everything that is wrong with a changed job.
type Misfits []Misfit

// Error is one line a fault.
func (m Misfits) Error() string {
	lines := make([]string, len(m))
	for k := range m {
		lines[k] = m[k].Fault.Error()
	}
	return strings.Join(lines, "\n")
}

// Whole is the job as a value: what Write writes.
func Whole(job *scheduler.Job) Value { return valueIn(jobTable.write(newDocument(job))) }

// Find is what stands in the job under a path: a section ("tasks"), a thing ("tasks",
// "frame"), a thing of a thing ("typicals", "facades", "tasks", "boards"). What has no
// name of its own goes by its Mark.
func Find(job *scheduler.Job, path ...string) (Value, bool) {
	if len(path) == 0 {
		return Whole(job), true
	}
	d := newDocument(job)
	for _, k := range jobTable.keys {
		if k.name != path[0] {
			continue
		}
		n := k.write(d)
		if n == nil {
			return Value{}, false
		}
		v := valueIn(n)
		return v.at(path[1:])
	}
	return Value{}, false
}

// Mark tells a thing without a name from others: it follows from what it says.
func (v *Value) Mark() string {
	sum := sha256.Sum256([]byte(v.String()))
	return hex.EncodeToString(sum[:6])
}

func (v *Value) at(path []string) (Value, bool) {
	if len(path) == 0 {
		return *v, true
	}
	if v.Is == List {
		k := v.marked(path[0])
		if k < 0 {
			return Value{}, false
		}
		return v.List[k].at(path[1:])
	}
	next, ok := v.Find(path[0])
	if !ok {
		return Value{}, false
	}
	return next.at(path[1:])
}

func (v *Value) marked(mark string) int {
	return slices.IndexFunc(v.List, func(item Value) bool { return item.Mark() == mark })
}

// unnamed are the sections that are lists.
var unnamed = []string{"closures", "waits", "waivers", "pins", "asides", "issues", "promises", "answers"}

// Put is the job with a thing in the place of the one under a path, or a new one there;
// nil takes it out. Under a list, an empty mark adds one. The job itself stays as it is.
// The error is Misfits, of all that is then wrong anywhere in the job;
// scheduler.ErrNotFound where nothing is there to take out or to change.
func Put(job *scheduler.Job, thing *Value, path ...string) (*scheduler.Job, error) {
	whole := Whole(job)
	own, err := whole.put(path, thing)
	if err != nil {
		return nil, err
	}
	text := whole.String()
	next, err := Read("", []byte(text))
	if err != nil {
		return nil, located(err, text, own)
	}
	return next, nil
}

// PutText is Put of a thing as a job file would have it; empty takes it out.
func PutText(job *scheduler.Job, text string, path ...string) (*scheduler.Job, error) {
	if strings.TrimSpace(text) == "" {
		return Put(job, nil, path...)
	}
	v, err := ParseValue(text)
	if err != nil {
		return nil, err
	}
	return Put(job, &v, path...)
}

// put changes a value in place and says where the thing then is, by keys and numbers.
func (v *Value) put(path []string, thing *Value) ([]string, error) {
	if len(path) == 0 {
		if thing == nil {
			return nil, scheduler.ErrNotFound
		}
		*v = *thing
		return nil, nil
	}
	if v.Is == List {
		return v.putInList(path, thing)
	}
	inner, there := v.Find(path[0])
	switch {
	case len(path) == 1 && thing == nil && !there:
		return nil, scheduler.ErrNotFound
	case len(path) == 1 && thing == nil:
		v.Drop(path[0])
		return path, nil
	case !there && len(path) > 1:
		inner.Is = Keys
		if slices.Contains(unnamed, path[0]) {
			inner.Is = List
		}
	}
	below, err := inner.put(path[1:], thing)
	if err != nil {
		return nil, err
	}
	v.Set(path[0], inner)
	if inner.Is != Word && len(inner.Keys) == 0 && len(inner.List) == 0 && len(path) == 2 {
		v.Drop(path[0]) // its last thing was taken out
	}
	return append([]string{path[0]}, below...), nil
}

func (v *Value) putInList(path []string, thing *Value) ([]string, error) {
	k := v.marked(path[0])
	switch {
	case path[0] == "" && len(path) == 1 && thing != nil:
		v.List = append(v.List, *thing)
		return []string{strconv.Itoa(len(v.List) - 1)}, nil
	case k < 0:
		return nil, scheduler.ErrNotFound
	case len(path) == 1 && thing == nil:
		v.List = slices.Delete(v.List, k, k+1)
		return []string{strconv.Itoa(k)}, nil
	}
	below, err := v.List[k].put(path[1:], thing)
	return append([]string{strconv.Itoa(k)}, below...), err
}

// located is the faults of a text with the path of each.
func located(err error, text string, own []string) error {
	var faults scheduler.Faults
	if !errors.As(err, &faults) {
		return err
	}
	at := map[scheduler.Pos][]string{}
	var doc yaml.Node
	if yaml.Unmarshal([]byte(text), &doc) == nil && len(doc.Content) == 1 {
		paths(doc.Content[0], nil, at)
	}
	all := make(Misfits, 0, len(faults))
	for _, f := range faults {
		m := Misfit{At: slices.Clone(at[f.Pos]), Fault: f}
		if f.Field != "" && !slices.ContainsFunc(keysOf(f.Field), func(key string) bool { return slices.Contains(m.At, key) }) {
			m.At = append(m.At, f.Field)
		}
		if len(m.At) >= len(own) && slices.Equal(m.At[:len(own)], own) {
			m.Own, m.At = true, m.At[len(own):]
		}
		m.Pos = scheduler.Pos{} // of a text that nobody sees
		all = append(all, m)
	}
	return all
}

// paths notes where everything in a file stands. Keys one below the other begin where
// the first of them does: that place is the key's.
func paths(n *yaml.Node, path []string, at map[scheduler.Pos][]string) {
	note := func(n *yaml.Node, path []string) {
		if _, taken := at[position(n)]; !taken {
			at[position(n)] = slices.Clone(path)
		}
	}
	switch n.Kind {
	case yaml.MappingNode:
		for k := 0; k+1 < len(n.Content); k += 2 {
			key, value := n.Content[k], n.Content[k+1]
			below := append(slices.Clone(path), key.Value)
			note(key, below)
			if value.Kind != yaml.MappingNode || value.Style&yaml.FlowStyle != 0 {
				note(value, below)
			}
			paths(value, below, at)
		}
	case yaml.SequenceNode:
		for k, item := range n.Content {
			below := append(slices.Clone(path), strconv.Itoa(k))
			note(item, below)
			paths(item, below, at)
		}
	}
}
