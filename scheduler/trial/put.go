package trial

import (
	"errors"
	"slices"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// Put says in the words of a job file what one thing of the job is to be: a new thing,
// or another in the place of the one there. Without words it is taken out.
type Put struct {
	// Path is where the thing stands: a section and a name ("tasks", "frame"), in a
	// typical two more ("typicals", "openings", "tasks", "pan"), or a key of the job
	// itself ("week"). What has no name goes by its mark, a new one of these by "".
	Path []string `json:"path"`
	Text string   `json:"text,omitempty"`
	Was  string   `json:"was,omitempty"`  // the mark of what it takes the place of; empty: nothing is there
	Says string   `json:"says,omitempty"` // the change in words, as of when it was made
}

// MostText is the longest text of one thing, in bytes. A build-up of a hundred layers
// has room. Common practice, no source.
const MostText = 32 << 10

// sections are the parts of a job file in which a trial changes things. What was
// recorded, promised, waived and set aside is not tried but done.
var sections = []string{
	"closures", "people", "trades", "gear", "places", "tasks", "holds", "orders", "typicals", "build-ups", "drawings", "waits", "occupations", "dues", "pins",
}

// ofTheJob is what a job says of itself; ofTypicals are the things within one.
var (
	ofTheJob   = []string{"title", "zone", "start", "day", "week", "site"}
	ofTypicals = []string{"tasks", "holds", "waits"}
)

// allowed is a refusal where a path leads to no one thing that can be tried.
func (p *Put) allowed() error {
	ok := false
	switch len(p.Path) {
	case 1:
		ok = slices.Contains(ofTheJob, p.Path[0])
	case 2:
		ok = slices.Contains(sections, p.Path[0])
	case 4:
		ok = p.Path[0] == "typicals" && slices.Contains(ofTypicals, p.Path[2])
	}
	switch {
	case !ok:
		return refuse(scheduler.ErrWrongKind, "path", "name a section of the job file that describes the work, and one thing in it",
			"%q is nothing that a trial can change", strings.Join(p.Path, " "))
	case len(p.Text) > MostText:
		return refuse(scheduler.ErrImpossible, "text", "change it in smaller parts", "a thing of %d bytes is too long; it can have %d", len(p.Text), MostText)
	}
	return nil
}

// named says whether the thing has a name that tells it from others of its kind.
func (p *Put) named() bool { return len(p.Path) > 0 && p.Path[len(p.Path)-1] != "" }

func (p *Put) gone() bool { return strings.TrimSpace(p.Text) == "" }

// apply puts the thing, if what it takes the place of is what it was.
func (p *Put) apply(j *scheduler.Job) error {
	if err := p.allowed(); err != nil {
		return err
	}
	if err := p.still(markIn(j, p.Path)); err != nil {
		return err
	}
	j.Canonical()
	next, err := jobfile.PutText(j, p.Text, p.Path...)
	if errors.Is(err, scheduler.ErrNotFound) {
		return p.missing()
	}
	if err != nil {
		return err
	}
	*j = *next
	return nil
}

// still is a refusal where the thing there is not the one that this was made from.
func (p *Put) still(mark string) error {
	switch {
	case mark == p.Was:
		return nil
	case mark == "":
		return p.missing()
	case p.Was == "":
		return refuse(scheduler.ErrAlready, "", "take another name, or change the one there", "the %s %s is there by now", p.kind(), p.name())
	}
	return refuse(scheduler.ErrAlready, "", "look at it as it is now and change it anew", "the %s %s has been changed since", p.kind(), p.name())
}

// missing is the refusal of what is about nothing.
func (p *Put) missing() error {
	return refuse(scheduler.ErrNotFound, "path", "take this change out", "the %s %s is not there", p.kind(), p.name())
}

// markIn is the mark of what stands under a path, empty: nothing does.
func markIn(j *scheduler.Job, path []string) string {
	if v, there := jobfile.Find(j, path...); there {
		return v.Mark()
	}
	return ""
}

// Add is the statements with more of them, each in the place of an earlier one about
// the same. The error is that of Apply where it is about one that was to be added; one
// that was there before and no longer applies keeps no other out.
func Add(job *scheduler.Job, ops []Op, more ...Op) ([]Op, error) {
	for _, op := range more {
		before := without(ops, op)
		if op.Put != nil {
			put, err := op.Put.settled(job, ops, before)
			if err != nil {
				return nil, &OpError{At: len(before), Cause: err}
			}
			op.Put = put
			if put.gone() && put.Was == "" {
				if len(before) == len(ops) {
					return nil, &OpError{At: len(before), Cause: put.missing()}
				}
				ops = before // what was new in the trial goes again
				continue
			}
		}
		next := slices.Concat(before, []Op{op})
		if _, err := Apply(job, next); err != nil {
			if wrong, ok := errors.AsType[*OpError](err); !ok || wrong.At == len(next)-1 {
				return nil, err
			}
		}
		ops = next
	}
	return ops, nil
}

// asFarAs is the job with the statements that apply.
func asFarAs(job *scheduler.Job, ops []Op) *scheduler.Job {
	tried := job.Copy()
	for _, op := range ops {
		if c, err := op.one(); err == nil {
			_ = c.apply(tried) // it is shown elsewhere as one that does not apply
		}
	}
	tried.Canonical()
	return tried
}

// settled is a statement with what it takes the place of after some others, and in
// words. One that says what it was made from is refused where that does not stand there
// after all of them.
func (p *Put) settled(job *scheduler.Job, all, before []Op) (*Put, error) {
	if err := p.allowed(); err != nil {
		return nil, err
	}
	if p.Was != "" {
		if err := p.still(markIn(asFarAs(job, all), p.Path)); err != nil {
			return nil, err
		}
	}
	j := asFarAs(job, before)
	is := *p
	is.Was, is.Says = markIn(j, p.Path), p.say(j)
	return &is, nil
}
