package jobfile

import (
	"reflect"
	"slices"

	"gaugerod/scheduler"
)

// stampOf gives a thing and all things in it one position. The lists in it are copied.
func stampOf(t reflect.Type) func(reflect.Value, scheduler.Pos) {
	var inner []func(reflect.Value, scheduler.Pos)
	for k := range t.NumField() {
		switch f := t.Field(k); {
		case f.Type == reflect.TypeFor[scheduler.Pos]():
			inner = append(inner, func(v reflect.Value, at scheduler.Pos) { v.Field(k).Set(reflect.ValueOf(at)) })
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() == reflect.Struct:
			stamp := stampOf(f.Type.Elem())
			inner = append(inner, func(v reflect.Value, at scheduler.Pos) {
				list := reflect.MakeSlice(f.Type, v.Field(k).Len(), v.Field(k).Len())
				reflect.Copy(list, v.Field(k))
				for n := range list.Len() {
					stamp(list.Index(n), at)
				}
				v.Field(k).Set(list)
			})
		}
	}
	return func(v reflect.Value, at scheduler.Pos) {
		for _, stamp := range inner {
			stamp(v, at)
		}
	}
}

func (s things[T]) stamp(job *scheduler.Job, at func(k int) scheduler.Pos) {
	all := s.in(job)
	*all = slices.Clone(*all)
	stamp := stampOf(reflect.TypeFor[T]())
	starts := map[scheduler.ID]scheduler.Pos{}
	for k := range *all {
		stamp(reflect.ValueOf(&(*all)[k]).Elem(), at(k))
		if s.step != nil {
			starts[s.step(&(*all)[k])] = at(k)
		}
	}
	if s.step == nil {
		return
	}
	job.Waits = slices.Clone(job.Waits)
	for k := range job.Waits {
		w := &job.Waits[k]
		if pos, ok := starts[w.To.Step]; ok && w.To.End == scheduler.Start {
			w.Pos = pos
		}
	}
}

func (s apart) stamp(job *scheduler.Job, at func(k int) scheduler.Pos) {
	job.Waits = slices.Clone(job.Waits)
	for n, k := range s.of(job) {
		job.Waits[k].Pos = at(n)
	}
}
