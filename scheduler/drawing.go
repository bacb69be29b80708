package scheduler

import (
	"slices"

	"gaugerod/scheduler/worktime"
)

// Drawing is a sheet by which work is done. Of its revisions the last one that was sent
// out counts, and only that one.
type Drawing struct {
	ID       ID
	Title    string
	Revision string         // the one that counts, as it stands on the sheet; empty: none was sent out yet
	On       *worktime.Date // the day on which that one was sent out, nil: not said
	Steps    []ID           // the steps that it shows, also all of a typical's by one name
	Places   []ID           // and all tasks and hold points in these places and below them
	Pos      Pos
}

// Out says whether there is a revision to work by.
func (d *Drawing) Out() bool { return d.Revision != "" }

// Drawings finds those of a job that show a step of its network.
type Drawings struct {
	net     *Network
	showing map[shownBy][]int // positions in the job's list
	around  map[ID]ID         // the place around each
}

// NewDrawings lays out the drawings of a network's job, which is not changed meanwhile.
func NewDrawings(net *Network) *Drawings {
	d, job := &Drawings{net: net}, net.Job
	if len(job.Drawings) == 0 {
		return d
	}
	d.showing, d.around = map[shownBy][]int{}, make(map[ID]ID, len(job.Places))
	for k := range job.Drawings {
		for _, s := range job.Drawings[k].Steps {
			d.showing[shownBy{name: s}] = append(d.showing[shownBy{name: s}], k)
		}
		for _, p := range job.Drawings[k].Places {
			d.showing[shownBy{p, true}] = append(d.showing[shownBy{p, true}], k)
		}
	}
	for k := range job.Places {
		d.around[job.Places[k].ID] = job.Places[k].Within
	}
	return d
}

// Of is the drawings that show any of some steps, in the order of the job, each once.
func (d *Drawings) Of(steps ...ID) []*Drawing {
	var at []int
	for _, id := range steps {
		if k, ok := d.net.Find(id); ok && len(d.showing) > 0 {
			d.eachKey(&d.net.Steps[k], func(key shownBy) { at = append(at, d.showing[key]...) })
		}
	}
	slices.Sort(at)
	at = slices.Compact(at)
	all := make([]*Drawing, len(at))
	for k := range at {
		all[k] = &d.net.Job.Drawings[at[k]]
	}
	return all
}

// shownBy is that by which a drawing shows a step: a name of the step, or a place that it
// is in.
type shownBy struct {
	name  ID
	place bool
}

// eachKey goes through all by which drawings may show a step. What an order brings is
// shown by its name alone.
func (d *Drawings) eachKey(s *Step, tell func(shownBy)) {
	tell(shownBy{name: s.ID})
	if s.Typical != "" {
		tell(shownBy{name: s.Typical + "." + s.Local})
	}
	if s.Order != "" {
		return
	}
	for _, p := range s.Places {
		for ; p != ""; p = d.around[p] {
			tell(shownBy{p, true})
		}
	}
}

// Next is the first step by each drawing of the job that is not done, as a plan has it;
// nil where all that it shows is done.
func (d *Drawings) Next(plan *Plan) []*PlannedStep {
	next := make([]*PlannedStep, len(d.net.Job.Drawings))
	if len(next) == 0 {
		return next
	}
	first := make(map[shownBy]*PlannedStep, len(d.showing)) // so that a drawing of everything is not asked for each step
	for k := range plan.Steps {
		p := &plan.Steps[k]
		n, ok := d.net.Find(p.ID)
		if !ok || p.State == Complete {
			continue
		}
		d.eachKey(&d.net.Steps[n], func(key shownBy) {
			if known := first[key]; len(d.showing[key]) > 0 && (known == nil || p.Start.Before(known.Start)) {
				first[key] = p
			}
		})
	}
	for key, p := range first {
		for _, k := range d.showing[key] {
			if next[k] == nil || p.Start.Before(next[k].Start) || p.Start.Equal(next[k].Start) && p.ID < next[k].ID {
				next[k] = p
			}
		}
	}
	return next
}
