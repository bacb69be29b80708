package jobfile

import (
	"slices"

	"gaugerod/scheduler"
)

// section is the things under one key of a job file, taken and put one by one, without
// the rest of the job. What it changes it copies first: jobs share their lists.
type section interface {
	count(job *scheduler.Job) int
	named() bool // else its things have no names
	name(job *scheduler.Job, k int) string
	part(job *scheduler.Job, from, to int) *document
	put(job *scheduler.Job, k int, one *document) // the only thing of a document; k may be one past the last
	drop(job *scheduler.Job, k int)
	swap(job *scheduler.Job, k, l int)
	stamp(job *scheduler.Job, at func(k int) scheduler.Pos) // each thing, and all in it, gets a position
}

// things are a section whose things are a list of the job.
type things[T any] struct {
	in   func(*scheduler.Job) *[]T
	pos  func(*T, scheduler.Pos)
	id   func(*T) string // nil: they have none
	lay  func(job *scheduler.Job, part []T, d *document)
	take func(*document) []T              // what lay has laid
	with func(*document) []scheduler.Wait // the waits that are written with the first of them
	step func(*T) scheduler.ID            // into whose start these go; nil: none are
}

func (s things[T]) count(job *scheduler.Job) int { return len(*s.in(job)) }

func (s things[T]) named() bool { return s.id != nil }

func (s things[T]) name(job *scheduler.Job, k int) string {
	if s.id == nil {
		return ""
	}
	return s.id(&(*s.in(job))[k])
}

func (s things[T]) part(job *scheduler.Job, from, to int) *document {
	d := &document{}
	s.lay(job, (*s.in(job))[from:to:to], d)
	return d
}

func (s things[T]) put(job *scheduler.Job, k int, one *document) {
	read := s.take(one)
	if len(read) == 0 {
		return // not even that could be read
	}
	all := s.in(job)
	if s.step != nil {
		if k < len(*all) {
			s.dropWaits(job, k)
		}
		job.Waits = append(job.Waits[:len(job.Waits):len(job.Waits)], into(s.step(&read[0]), s.with(one))...)
	}
	if *all = slices.Clone(*all); k < len(*all) {
		(*all)[k] = read[0]
	} else {
		*all = append(*all, read[0])
	}
	if s.step != nil {
		job.CanonicalWaits()
	}
}

func (s things[T]) drop(job *scheduler.Job, k int) {
	if s.step != nil {
		s.dropWaits(job, k)
	}
	all := s.in(job)
	*all = slices.Delete(slices.Clone(*all), k, k+1)
}

func (s things[T]) swap(job *scheduler.Job, k, l int) {
	all := s.in(job)
	*all = slices.Clone(*all)
	(*all)[k], (*all)[l] = (*all)[l], (*all)[k]
	if s.step != nil {
		job.Waits = slices.Clone(job.Waits)
		job.CanonicalWaits()
	}
}

func (s things[T]) dropWaits(job *scheduler.Job, k int) {
	start := scheduler.Point{Step: s.step(&(*s.in(job))[k])}
	job.Waits = slices.DeleteFunc(slices.Clone(job.Waits), func(w scheduler.Wait) bool { return w.To == start })
}

// listOf is a section that a job file holds as the job does.
func listOf[T any](in func(*scheduler.Job) *[]T, pos func(*T, scheduler.Pos), id func(*T) string) things[T] {
	return things[T]{
		in: in, pos: pos, id: id,
		lay:  func(_ *scheduler.Job, part []T, d *document) { *in(&d.head) = part },
		take: func(d *document) []T { return *in(&d.head) },
	}
}

// apart are the waits that stand apart from the steps that wait.
type apart struct{}

// of are the places of these waits in the job's list.
func (apart) of(job *scheduler.Job) (all []int) {
	own := make(map[scheduler.ID]bool, len(job.Tasks)+len(job.Holds)+len(job.Orders))
	for k := range job.Tasks {
		own[job.Tasks[k].ID] = true
	}
	for k := range job.Holds {
		own[job.Holds[k].ID] = true
	}
	for k := range job.Orders {
		own[job.Orders[k].FirstStep()] = true
	}
	for k := range job.Waits {
		if to := job.Waits[k].To; to.End != scheduler.Start || !own[to.Step] {
			all = append(all, k)
		}
	}
	return all
}

func (s apart) count(job *scheduler.Job) int { return len(s.of(job)) }

func (apart) named() bool { return false }

func (apart) name(*scheduler.Job, int) string { return "" }

func (s apart) drop(job *scheduler.Job, k int) {
	at := s.of(job)[k]
	job.Waits = slices.Delete(slices.Clone(job.Waits), at, at+1)
}

func (s apart) swap(job *scheduler.Job, k, l int) {
	all := s.of(job)
	job.Waits = slices.Clone(job.Waits)
	job.Waits[all[k]], job.Waits[all[l]] = job.Waits[all[l]], job.Waits[all[k]]
}

func (s apart) part(job *scheduler.Job, from, to int) *document {
	d := &document{}
	for _, k := range s.of(job)[from:to] {
		d.waits = append(d.waits, job.Waits[k])
	}
	return d
}

func (s apart) put(job *scheduler.Job, k int, one *document) {
	if len(one.waits) == 0 {
		return
	}
	all := s.of(job)
	if job.Waits = slices.Clone(job.Waits); k < len(all) {
		job.Waits[all[k]] = one.waits[0]
	} else {
		job.Waits = append(job.Waits, one.waits[0])
	}
	job.CanonicalWaits()
}

// afterOf are the waits into the starts of things, by the step.
func afterOf[T any](job *scheduler.Job, part []T, step func(*T) scheduler.ID) map[scheduler.ID][]scheduler.Wait {
	after := make(map[scheduler.ID][]scheduler.Wait, len(part))
	for k := range part {
		after[step(&part[k])] = nil
	}
	for k := range job.Waits {
		w := &job.Waits[k]
		if w.To.End != scheduler.Start {
			continue
		}
		if _, wanted := after[w.To.Step]; wanted {
			after[w.To.Step] = append(after[w.To.Step], *w)
		}
	}
	return after
}
