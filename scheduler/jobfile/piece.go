package jobfile

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"
	"strings"

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

// Head is what the job says of itself: all that stands under no section.
func Head(job *scheduler.Job) Value {
	head := *job
	d := &document{head: head}
	var v Value
	for _, k := range jobTable.keys {
		if sectionsByKey[k.name] != nil {
			continue
		}
		if n := k.write(d); n != nil {
			v.Set(k.name, valueIn(n))
		}
	}
	return v
}

// Count is how many things a section of the job has.
func Count(job *scheduler.Job, section string) int {
	s := sectionsByKey[section]
	if s == nil {
		return 0
	}
	return s.count(job)
}

// Part is some of the things of a section, in their order, as the section has them: from
// one of them, counted from 0, and before another.
func Part(job *scheduler.Job, section string, from, to int) Value {
	s := sectionsByKey[section]
	if s == nil || from >= to {
		return Value{}
	}
	return sectionOf(section, s.part(job, from, to))
}

// sectionOf is the value of one section of a document.
func sectionOf(name string, d *document) Value {
	for _, k := range jobTable.keys {
		if k.name == name {
			if n := k.write(d); n != nil {
				return valueIn(n)
			}
		}
	}
	return Value{}
}

// placeOf is where in its section a thing is, by its name or mark, and its section with
// nothing else in it; as many as there are, and an empty one, where it is not there.
func placeOf(job *scheduler.Job, section, thing string) (int, Value) {
	s := sectionsByKey[section]
	n := s.count(job)
	if !s.named() {
		all := Part(job, section, 0, n)
		if k := all.marked(thing); k >= 0 {
			return k, Value{Is: List, List: all.List[k : k+1]}
		}
		return n, Value{Is: List}
	}
	for k := range n {
		if s.name(job, k) == thing {
			return k, Part(job, section, k, k+1)
		}
	}
	return n, Value{Is: Keys}
}

// Find is what stands in the job under a path: a section ("tasks"), a thing ("tasks",
// "frame"), a thing of a thing ("typicals", "facades", "tasks", "boards"). What has no
// name of its own goes by its Mark. Without a path it is the Head.
func Find(job *scheduler.Job, path ...string) (Value, bool) {
	switch {
	case len(path) == 0:
		return Head(job), true
	case sectionsByKey[path[0]] == nil:
		head := Head(job)
		return head.at(path)
	case len(path) == 1:
		n := Count(job, path[0])
		return Part(job, path[0], 0, n), n > 0
	}
	_, one := placeOf(job, path[0], path[1])
	return one.at(path[1:])
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

// Put is the job, which is to be canonical, with a thing in the place of the one under a
// path, or a new one there; nil takes it out. Under a list, an empty mark adds one.
// Without a path it is the Head that is put. The job itself stays as it is. Only what is
// put is written and read as text.
//
// The error is Misfits, of all that is then wrong anywhere in the job;
// scheduler.ErrNotFound where nothing is there to take out or to change.
func Put(job *scheduler.Job, thing *Value, path ...string) (*scheduler.Job, error) {
	if len(path) == 0 || sectionsByKey[path[0]] == nil {
		head := Head(job)
		own, err := head.put(path, thing)
		if err != nil {
			return nil, err
		}
		return splice(job, &head, own, func(j *scheduler.Job, d *document) { takeHead(j, &d.head) })
	}
	if len(path) == 1 {
		return nil, scheduler.ErrNotFound
	}
	s := sectionsByKey[path[0]]
	k, one := placeOf(job, path[0], path[1])
	var alone Value
	alone.Set(path[0], one)
	own, err := alone.put(path, thing)
	switch {
	case err != nil:
		return nil, err
	case len(path) == 2 && thing == nil:
		return splice(job, nil, nil, func(j *scheduler.Job, _ *document) { s.drop(j, k) })
	}
	return splice(job, &alone, own, func(j *scheduler.Job, d *document) { s.put(j, k, d) })
}

// PutWhole is the job that a value tells as a whole, in the place of one that is there.
// The error is Misfits.
func PutWhole(whole *Value) (*scheduler.Job, error) {
	r := newReader()
	if next := r.readJob([]byte(whole.String())); next != nil {
		return next, nil
	}
	return nil, r.misfits(nil, nil)
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
		if s := sectionsByKey[path[0]]; s != nil && !s.named() {
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
