package jobfile

import (
	"slices"

	"gaugerod/scheduler"
)

// Move is the job, which is to be canonical, in which a thing with a name has changed
// places with the one before it in its section, or with the one after it. The job itself
// stays as it is.
//
// The error is scheduler.ErrNotFound where there is no such thing, and a
// scheduler.Refusal, ErrAlready, where it is the first, or the last, already.
func Move(job *scheduler.Job, up bool, path ...string) (*scheduler.Job, error) {
	if len(path) < 2 || sectionsByKey[path[0]] == nil {
		return nil, scheduler.ErrNotFound
	}
	s := sectionsByKey[path[0]]
	k, _ := placeOf(job, path[0], path[1])
	if k == s.count(job) {
		return nil, scheduler.ErrNotFound
	}
	if len(path) == 4 {
		return moveWithin(job, up, path)
	}
	l, err := beside(k, s.count(job), up)
	if err != nil {
		return nil, err
	}
	next := *job
	s.swap(&next, k, l)
	return &next, nil
}

// moveWithin moves a thing within a thing.
func moveWithin(job *scheduler.Job, up bool, path []string) (*scheduler.Job, error) {
	whole, _ := Find(job, path[:2]...)
	part, _ := whole.Find(path[2])
	part.Keys = slices.Clone(part.Keys)
	k := slices.IndexFunc(part.Keys, func(e Entry) bool { return e.Key == path[3] })
	if k < 0 {
		return nil, scheduler.ErrNotFound
	}
	l, err := beside(k, len(part.Keys), up)
	if err != nil {
		return nil, err
	}
	part.Keys[k], part.Keys[l] = part.Keys[l], part.Keys[k]
	whole.Set(path[2], part)
	return Put(job, &whole, path[:2]...)
}

// beside is the place before or after one of so many.
func beside(k, many int, up bool) (int, error) {
	switch {
	case up && k == 0:
		return 0, &scheduler.Refusal{Kind: scheduler.ErrAlready, What: "it stands first already"}
	case up:
		return k - 1, nil
	case k == many-1:
		return 0, &scheduler.Refusal{Kind: scheduler.ErrAlready, What: "it stands last already"}
	}
	return k + 1, nil
}
