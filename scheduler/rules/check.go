package rules

import (
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/nearest"
)

// Limits on what is read from anywhere.
const (
	// MaxSteps is how many steps a job may have once its typicals are repeated.
	MaxSteps = 500_000
	// maxLooks is with how many names a check compares wrong ones to find what was
	// meant: a hostile job could hold many of both.
	maxLooks = 3_000_000
	// maxFaults is how many faults are told one by one.
	maxFaults = 5000
)

// Check finds everything that makes a job unsound, all of it at once, in the
// order of the positions. A sound job gives none.
func Check(job *scheduler.Job) scheduler.Faults {
	c := &checker{job: job, looks: maxLooks}
	c.checkSite()
	c.siteSound = len(c.faults) == 0
	c.people = index(c, "person", "people", job.People, func(p *scheduler.Person) (scheduler.ID, scheduler.Pos) { return p.ID, p.Pos })
	c.trades = index(c, "trade", "trades", job.Trades, func(t *scheduler.Trade) (scheduler.ID, scheduler.Pos) { return t.ID, t.Pos })
	c.gear = index(c, "gear", "gear", job.Gear, func(g *scheduler.Gear) (scheduler.ID, scheduler.Pos) { return g.ID, g.Pos })
	c.places = index(c, "place", "places", job.Places, func(p *scheduler.Place) (scheduler.ID, scheduler.Pos) { return p.ID, p.Pos })
	c.orders = index(c, "order", "orders", job.Orders, func(o *scheduler.Order) (scheduler.ID, scheduler.Pos) { return o.ID, o.Pos })
	c.typicals = index(c, "typical", "typicals", job.Typicals, func(t *scheduler.Typical) (scheduler.ID, scheduler.Pos) { return t.ID, t.Pos })
	c.checkPeople()
	c.checkTrades()
	c.checkGear()
	c.checkPlaces()
	if !c.nameSteps() {
		return c.sorted()
	}
	c.checkTasks()
	c.checkHolds()
	c.checkOrders()
	c.checkTypicals()
	c.checkBuildUps()
	c.checkWaits()
	c.checkDrawings()
	c.checkOccupations()
	c.checkDues()
	c.checkFacts()
	c.checkWaivers()
	c.checkPins()
	c.checkAsides()
	c.checkIssues()
	c.checkPromises()
	c.checkAnswers()
	return c.sorted()
}

// checker is a job under the rules.
type checker struct {
	job       *scheduler.Job
	people    register
	trades    register
	gear      register
	places    register
	orders    register
	typicals  register
	names     names
	faults    scheduler.Faults
	siteSound bool // so that it is known how long a day is
	more      int  // faults beyond those that are told
	looks     int  // at names that may have been meant, still allowed
}

// subject is the thing a fault is about: where it is and what to call it.
type subject struct {
	pos  scheduler.Pos
	name string // `task "frame"`
}

func about(what string, id scheduler.ID, pos scheduler.Pos) subject {
	return subject{pos: pos, name: called(what, id)}
}

// called is what to call a thing of a kind. It is asked for with everything that is
// checked, for few of which it is told.
func called(what string, id scheduler.ID) string { return what + " " + strconv.Quote(string(id)) }

// fault notes that something is wrong with one key of a thing. The offending
// text is what stands there.
func (c *checker) fault(s subject, field, text, what, mend string) {
	if len(c.faults) == maxFaults {
		c.more++
		return
	}
	c.faults = append(c.faults, scheduler.Fault{
		Pos: s.pos, Field: field, Text: text, What: clip(s.name + " " + what), Mend: clip(mend),
	})
}

// clip keeps a sentence readable where a name in it goes on and on.
func clip(s string) string {
	const most = 600
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}

func (c *checker) sorted() scheduler.Faults {
	slices.SortStableFunc(c.faults, func(a, b scheduler.Fault) int {
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		return a.Pos.Column - b.Pos.Column
	})
	if c.more > 0 {
		last := c.faults[len(c.faults)-1].Pos
		c.faults = append(c.faults, scheduler.Fault{Pos: last, What: fmt.Sprintf("there are %d more faults", c.more), Mend: "mend these first"})
	}
	return c.faults
}

// register is the things of one kind by their names.
type register struct {
	what, section string
	at            map[scheduler.ID]int // the first of each name
	list          []scheduler.ID       // each name once, in the order of the job
}

func (r *register) has(id scheduler.ID) bool {
	_, ok := r.at[id]
	return ok
}

// index registers things by name and finds names that are no names or not their own.
func index[T any](c *checker, what, section string, things []T, key func(*T) (scheduler.ID, scheduler.Pos)) register {
	r := register{what: what, section: section, at: make(map[scheduler.ID]int, len(things))}
	for k := range things {
		id, pos := key(&things[k])
		s := about(what, id, pos)
		c.checkID(s, id)
		if r.has(id) {
			c.fault(s, "", string(id), "is there twice under "+section, "give one of them another name")
			continue
		}
		r.at[id] = k
		r.list = append(r.list, id)
	}
	return r
}

// known checks that a thing names something that is registered.
func (c *checker) known(s subject, field string, id scheduler.ID, in ...*register) {
	var all [][]scheduler.ID
	var whats, sections []string
	for _, r := range in {
		if r.has(id) {
			return
		}
		all = append(all, r.list)
		whats, sections = append(whats, r.what), append(sections, r.section)
	}
	where := strings.Join(sections, " or ")
	c.fault(s, field, string(id), fmt.Sprintf("names the %s %q, which is not under %s", strings.Join(whats, " or "), id, where),
		c.meant(id, "add it under "+where, all...))
}

// knownEach checks a list of names: each is registered and there once.
func (c *checker) knownEach(s subject, field string, ids []scheduler.ID, in *register) {
	for id := range c.eachOnce(s, field, ids) {
		c.known(s, field, id, in)
	}
}

// eachOnce goes through names of which none may be there twice.
func (c *checker) eachOnce(s subject, field string, ids []scheduler.ID) iter.Seq[scheduler.ID] {
	return func(yield func(scheduler.ID) bool) {
		seen := make(map[scheduler.ID]bool, len(ids))
		for _, id := range ids {
			if seen[id] {
				c.fault(s, field, string(id), fmt.Sprintf("names %q twice under %s", id, field), "name it once")
				continue
			}
			seen[id] = true
			if !yield(id) {
				return
			}
		}
	}
}

// meant is the mend of an unknown name: the nearest known one, else what else to do.
func (c *checker) meant(id scheduler.ID, otherwise string, have ...[]scheduler.ID) string {
	for _, list := range have {
		c.looks -= len(list)
	}
	if c.looks > 0 && len(id) <= maxID {
		if near, ok := nearest.Name(string(id), have...); ok {
			return fmt.Sprintf("did you mean %q?", near)
		}
	}
	return otherwise
}

// choice checks that a word is one of those allowed; what is what such a word is called.
func choice[S ~string](c *checker, s subject, field, what string, word S, allowed []S) {
	if slices.Contains(allowed, word) {
		return
	}
	words := make([]string, len(allowed))
	for k, a := range allowed {
		words[k] = string(a)
	}
	mend := "write one of: " + strings.Join(words, ", ")
	if word == "" {
		c.fault(s, field, "", "has no "+what, mend)
		return
	}
	if near, ok := nearest.Name(string(word), allowed); ok {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	c.fault(s, field, string(word), fmt.Sprintf("has the %s %q, which is none of those known", what, word), mend)
}
