package web

import (
	"strings"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// courses lays every place's work, gates and visits out for drawing, in the order
// of the tree, and names the places in which nothing happens on the scale.
func (b *board) courses(scale *draw.Scale, brief bool) ([]draw.Course, string) {
	at, windows, agreed := b.byPlace(), map[scheduler.ID][]*scheduler.Window{}, map[scheduler.ID][]promised{}
	for k := range b.Plan.Windows {
		w := &b.Plan.Windows[k]
		windows[w.Place] = append(windows[w.Place], w)
	}
	for _, p := range b.promises() {
		agreed[p.Place] = append(agreed[p.Place], p)
	}
	var all []draw.Course
	var quiet []string
	for _, p := range b.tree() {
		c := b.course(p.place.Title, p.depth, at[p.place.ID], windows[p.place.ID], agreed[p.place.ID], brief)
		switch {
		case showsAny(scale, c):
			all = append(all, c)
		case p.parent:
			all = append(all, draw.Course{Title: c.Title, Depth: c.Depth})
		default:
			quiet = append(quiet, c.Title)
		}
	}
	all = withoutEmptyParents(all)
	if c := b.course("Off site and on paper", 0, at[""], nil, nil, brief); showsAny(scale, c) {
		all = append(all, c)
	}
	return all, listed(quiet)
}

// withoutEmptyParents drops a course without work under which nothing is left.
func withoutEmptyParents(all []draw.Course) []draw.Course {
	var kept []draw.Course
	for k, c := range all {
		empty := len(c.Visits)+len(c.Marks) == 0
		if empty && (k+1 == len(all) || all[k+1].Depth <= c.Depth) {
			continue
		}
		kept = append(kept, c)
	}
	return kept
}

func showsAny(s *draw.Scale, c draw.Course) bool {
	for _, v := range c.Visits {
		for _, b := range v.Blocks {
			if s.Shows(b.Start, b.Finish) {
				return true
			}
		}
		for _, a := range v.Agreed {
			if s.Shows(a.From, a.Until) {
				return true
			}
		}
	}
	for _, m := range c.Marks {
		if s.Shows(m.At, m.At) {
			return true
		}
	}
	return false
}

type treePlace struct {
	place  *scheduler.Place
	depth  int
	parent bool
}

// tree is the places, each followed by what lies within it.
func (b *board) tree() []treePlace {
	within := map[scheduler.ID][]*scheduler.Place{}
	for k := range b.Job.Places {
		p := &b.Job.Places[k]
		within[p.Within] = append(within[p.Within], p)
	}
	var all []treePlace
	var walk func(scheduler.ID, int)
	walk = func(id scheduler.ID, depth int) {
		for _, p := range within[id] {
			all = append(all, treePlace{p, depth, len(within[p.ID]) > 0})
			walk(p.ID, depth+1)
		}
	}
	walk("", 0)
	return all
}

// byPlace sorts the steps by the places they are in; those without are under "".
func (b *board) byPlace() map[scheduler.ID][]*scheduler.PlannedStep {
	at := map[scheduler.ID][]*scheduler.PlannedStep{}
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if len(s.Places) == 0 {
			at[""] = append(at[""], s)
		}
		for _, p := range s.Places {
			at[p] = append(at[p], s)
		}
	}
	return at
}

// course is one place's visits and marks. A step that no visit holds is a visit
// of its own without a band; the stages of an order lie together.
func (b *board) course(title string, depth int, steps []*scheduler.PlannedStep, windows []*scheduler.Window, agreed []promised, brief bool) draw.Course {
	c := draw.Course{Title: title, Depth: depth}
	visit := map[scheduler.ID]int{} // by step or order: where in c.Visits
	for _, v := range windows {
		c.Visits = append(c.Visits, draw.Visit{From: v.From, Until: v.OutForOthers})
		for _, id := range v.Steps {
			if _, taken := visit[id]; !taken {
				visit[id] = len(c.Visits) - 1
			}
		}
	}
	for _, s := range steps {
		if s.Kind == scheduler.HoldStep {
			c.Marks = append(c.Marks, draw.Mark{Key: string(s.ID), Label: s.Title, At: s.Finish, Gate: b.gate(s.ID), Was: b.wasOf(s)})
			continue
		}
		group := s.ID
		if s.Order != "" {
			group = "order " + s.Order
		}
		k, ok := visit[group]
		if !ok {
			k = len(c.Visits)
			visit[group] = k
			c.Visits = append(c.Visits, draw.Visit{})
		}
		c.Visits[k].Blocks = append(c.Visits[k].Blocks, b.block(s))
	}
	b.addAgreed(&c, agreed, visit, brief)
	return c
}

// near is a step's page as seen from the page of places: short, because a drawing
// has hundreds.
func (b *board) near(id scheduler.ID) string { return "steps/" + string(id) + b.query }

func (b *board) block(s *scheduler.PlannedStep) draw.Block {
	d := draw.Block{Key: string(s.ID), Label: s.Title, Start: s.Start, Finish: s.Finish, Progress: progressOf(s), Was: b.wasOf(s)}
	var shorts []string
	for _, t := range s.Trades {
		if sh := b.short(t); sh != "" {
			shorts = append(shorts, sh)
		}
	}
	d.Short = strings.Join(shorts, "+")
	d.Hatch = len(b.Job.Trades)
	if len(s.Trades) > 0 {
		d.Hatch = b.hatch(s.Trades[0])
	}
	return d
}

// sayStep is what the block or gate of a step says: with whole words also why it is not
// sooner, and what was promised.
func (b *board) sayStep(whole bool) draw.Say {
	return func(key string) (href, tip string) {
		s := b.steps[scheduler.ID(key)]
		if s == nil {
			return "", key
		}
		tip = b.tip(s)
		if whole && s.Kind != scheduler.HoldStep {
			tip += heldBy(s)
			for _, p := range b.movedFor(s.ID) {
				tip += " " + upper(b.says(p).Text()) + "."
			}
		}
		if was := b.saysWas(s); whole && was != "" {
			tip += " " + was
		}
		return b.near(s.ID), tip
	}
}

// heldBy is why a step that has not begun is not sooner, as a sentence after others.
func heldBy(s *scheduler.PlannedStep) string {
	if s.State == scheduler.Complete || s.State == scheduler.Underway || len(s.Drivers) == 0 {
		return ""
	}
	return " Not sooner: " + strings.TrimSuffix(s.Drivers[0].Text, ".") + "."
}
