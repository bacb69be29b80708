package selfcheck

import (
	"cmp"
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/worktime"
)

// longestChain is the steps, in order of start, whose length reaches the earliest
// finish of the job: from the steps that end last, back along each wait that alone
// holds a start where it is. The job is one on the site's week alone, so each wait's
// date can be reckoned here from its from end. Steps that have begun, or to whose
// finish something waits, are left out, and nothing before a step that has begun is
// looked at. It takes time in proportion to the waits.
func longestChain(job *scheduler.Job, plan *scheduler.Plan) ([]scheduler.ID, error) {
	net, err := expand.Expand(job)
	if err != nil {
		return nil, err
	}
	c := chain{subject: newSubject(net, plan), seen: map[scheduler.Point]bool{}}
	from := worktime.FromTime(plan.AsOf).Date(plan.AsOf.Location())
	to := worktime.FromTime(plan.EarliestFinish).Date(plan.AsOf.Location())
	c.site = worktime.NewAlmanac(plan.AsOf.Location(), min(from, job.Start)-366, max(to, from)+366).Calendar(job.Week, nil)
	for _, k := range c.open {
		if c.planned[k].EarliestFinish.Equal(plan.EarliestFinish) {
			c.finish(k)
		}
	}
	slices.SortStableFunc(c.steps, func(a, b int) int {
		return cmp.Or(c.planned[a].EarliestStart.Compare(c.planned[b].EarliestStart), cmp.Compare(a, b))
	})
	ids := make([]scheduler.ID, len(c.steps))
	for i, k := range c.steps {
		ids[i] = net.Steps[k].ID
	}
	return ids, nil
}

type chain struct {
	*subject
	site  *worktime.Calendar
	seen  map[scheduler.Point]bool
	steps []int // found so far
	queue []int // steps whose starts are to be looked behind
}

// finish takes in the steps behind the finish of one that ends last.
func (c *chain) finish(step int) {
	c.reach(step, scheduler.Finish)
	for len(c.queue) > 0 {
		k := c.queue[0]
		c.queue = c.queue[1:]
		for _, w := range c.into[k] {
			wait := &c.net.Waits[w]
			from, ok := c.net.Find(wait.From.Step)
			if ok && !c.net.Waived[w] && wait.To.End == scheduler.Start && c.holds(wait, from, k) {
				c.reach(from, wait.From.End)
			}
		}
	}
}

// reach takes in a step by one of its ends: by its finish its own length counts.
func (c *chain) reach(step int, end scheduler.End) {
	p := c.planned[step]
	at := scheduler.Point{Step: p.ID, End: end}
	if c.seen[at] || p.State == scheduler.Underway || p.State == scheduler.Complete {
		return
	}
	c.seen[at] = true
	if end == scheduler.Finish && p.Work > 0 && !c.finishHeld(step) {
		c.steps = append(c.steps, step)
	}
	if other := (scheduler.Point{Step: p.ID, End: 1 - end}); !c.seen[other] {
		c.queue = append(c.queue, step)
	}
}

func (c *chain) finishHeld(step int) bool {
	return slices.ContainsFunc(c.into[step], func(w int) bool { return c.net.Waits[w].To.End == scheduler.Finish })
}

// holds says whether a wait to a start alone would put it where it is.
func (c *chain) holds(w *scheduler.Wait, from, to int) bool {
	p := c.planned[from]
	if p == nil || c.planned[to] == nil {
		return false
	}
	at := worktime.FromTime(p.EarliestStart)
	if w.From.End == scheduler.Finish {
		at = worktime.FromTime(p.EarliestFinish)
	}
	least := c.job.Minutes(w.Least)
	switch {
	case w.Least.Elapsed():
		at += worktime.Instant(least)
	case least > 0:
		at = c.site.First(c.site.Work(at) + least)
	}
	switch q := c.planned[to]; {
	case q.Elapsed:
	case q.Work > 0:
		at = c.site.NextOpen(at)
	default:
		at = c.site.NextEdge(at)
	}
	return at == worktime.FromTime(c.planned[to].EarliestStart)
}
