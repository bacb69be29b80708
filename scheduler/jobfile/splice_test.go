package jobfile

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
)

// putByTheWhole is Put by the text of the whole job.
func putByTheWhole(job *scheduler.Job, thing *Value, path ...string) (*scheduler.Job, error) {
	whole := Whole(job)
	if len(path) == 0 { // the head alone is put
		next := clone(*thing)
		for _, e := range whole.Keys {
			if sectionsByKey[e.Key] != nil {
				next.Set(e.Key, e.Value)
			}
		}
		thing = &next
	}
	own, err := whole.put(path, thing)
	if err != nil {
		return nil, err
	}
	r := newReader()
	if next := r.readJob([]byte(whole.String())); next != nil {
		return next, nil
	}
	return nil, r.misfits(own, nil)
}

// told is misfits in an order of their own; of those in other things the thing alone.
// Of what the job says of itself only the words: to the whole, everything is its own.
func told(t *testing.T, path []string, err error) []string {
	t.Helper()
	var m Misfits
	if err != nil && !errors.As(err, &m) {
		t.Fatal(err)
	}
	var all []string
	for _, f := range m {
		where := fmt.Sprint(f.Own, f.At)
		switch {
		case len(path) == 0:
			where = ""
		case !f.Own:
			where = fmt.Sprint(f.Own, f.At[:min(len(f.At), 2)])
		}
		all = append(all, where+f.What+f.Mend)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// TestPutIsThatOfTheWhole puts things of random jobs back, out, and with slips in them:
// what comes of it, and all that is told, is what the text of the whole job would give.
func TestPutIsThatOfTheWhole(t *testing.T) {
	puts, faulty, elsewhere := 0, 0, 0
	for seed := range uint64(4) {
		job := randomjob.New(seed, randomjob.Size{Steps: 12 + int(seed)})
		if seed == 0 {
			job = everyFeature(t)
		}
		job.Canonical()
		before, _ := Write(job)
		rng := rand.New(rand.NewPCG(seed, 7))
		for _, path := range pathsIn(job) {
			for _, thing := range slipsOf(rng, job, path) {
				want, wantErr := putByTheWhole(job, thing, path...)
				got, gotErr := Put(job, thing, path...)
				puts++
				if d := cmp.Diff(told(t, path, wantErr), told(t, path, gotErr)); d != "" {
					t.Fatalf("seed %d, %v, %s: (-whole +alone) %s", seed, path, said(thing), d)
				}
				if wantErr != nil {
					faulty++
					if strings.HasPrefix(told(t, path, gotErr)[0], "false") {
						elsewhere++
					}
					continue
				}
				if d := cmp.Diff(want, got, sameJob); d != "" {
					t.Fatalf("seed %d, %v, %s: (-whole +alone) %s", seed, path, said(thing), d)
				}
			}
		}
		if after, _ := Write(job); string(after) != string(before) {
			t.Fatalf("seed %d: the job itself has changed", seed)
		}
	}
	if puts < 800 || faulty < 250 || elsewhere < 50 {
		t.Errorf("only %d puts, %d faulty ones, %d with faults elsewhere", puts, faulty, elsewhere)
	}
}

// TestEverythingIsStamped walks a job by reflection: everything in it that has a position
// has the one of its thing.
func TestEverythingIsStamped(t *testing.T) {
	job := *everyFeature(t)
	stampAll(&job)
	n := 0
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Slice:
			for k := range v.Len() {
				walk(v.Index(k))
			}
		case reflect.Struct:
			if pos, ok := v.Interface().(scheduler.Pos); ok {
				if n++; pos.Line < elsewhere {
					t.Errorf("%+v is at %v", v, pos)
				}
				return
			}
			for k := range v.NumField() {
				walk(v.Field(k))
			}
		}
	}
	walk(reflect.ValueOf(job))
	if n < 60 {
		t.Errorf("only %d positions", n)
	}
}

func said(thing *Value) string {
	if thing == nil {
		return "taken out"
	}
	return thing.String()
}

// pathsIn are the paths of everything that can be put, and of new things.
func pathsIn(job *scheduler.Job) [][]string {
	paths := [][]string{{}, {"tasks", "brand-new"}, {"pins", ""}, {"waits", ""}}
	for key := range sectionsByKey {
		v, _ := Find(job, key)
		for _, e := range v.Keys {
			paths = append(paths, []string{key, e.Key})
			if key != "typicals" {
				continue
			}
			for _, inner := range []string{"tasks", "holds"} {
				all, _ := e.Value.Find(inner)
				for _, f := range all.Keys {
					paths = append(paths, []string{key, e.Key, inner, f.Key})
				}
			}
			paths = append(paths, []string{key, e.Key, "waits", ""})
		}
		for k := range v.List {
			paths = append(paths, []string{key, v.List[k].Mark()})
		}
	}
	return paths
}

// slipsOf are things to put in the place of one: itself, nothing, and itself with a word
// that is another, a key that is missing and one that nobody knows.
func slipsOf(rng *rand.Rand, job *scheduler.Job, path []string) []*Value {
	thing, there := Find(job, path...)
	if !there {
		thing = Value{Is: Keys}
		thing.Set("title", Value{Word: "T"})
		thing.Set("takes", Value{Word: "1 day"})
	}
	all := []*Value{&thing}
	if there && len(path) > 0 {
		all = append(all, nil)
	}
	for _, word := range []string{"moon", "2 days", "house", ""} {
		slip := clone(thing)
		if words := wordsOf(&slip); len(words) > 0 {
			words[rng.IntN(len(words))].Word = word
			all = append(all, &slip)
		}
	}
	less := clone(thing)
	if len(less.Keys) > 0 {
		less.Keys = slices.Delete(less.Keys, 0, 1+rng.IntN(len(less.Keys)))
		all = append(all, &less)
	}
	if len(path) == 0 {
		return all
	}
	more := clone(thing)
	more.Set("moon", Value{Word: "full"})
	return append(all, &more)
}

func clone(v Value) Value {
	v.List, v.Keys = slices.Clone(v.List), slices.Clone(v.Keys)
	for k := range v.List {
		v.List[k] = clone(v.List[k])
	}
	for k := range v.Keys {
		v.Keys[k].Value = clone(v.Keys[k].Value)
	}
	return v
}

func wordsOf(v *Value) (all []*Value) {
	switch v.Is {
	case Word:
		return []*Value{v}
	case List:
		for k := range v.List {
			all = append(all, wordsOf(&v.List[k])...)
		}
	case Keys:
		for k := range v.Keys {
			all = append(all, wordsOf(&v.Keys[k].Value)...)
		}
	}
	return all
}
