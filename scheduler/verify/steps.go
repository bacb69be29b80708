package verify

import (
	"cmp"
	"slices"
	"sort"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// The rules about which steps there are.
const (
	StepMissing   Rule = "step missing"   // a step of the job is not in the plan
	StepUnknown   Rule = "step unknown"   // the plan has a step that the job has not, or one twice
	StepMisstated Rule = "step misstated" // kind, trades, places or the like are not the job's
)

// step is one step as the checker expands it, and what the plan makes of it.
type step struct {
	scheduler.Work
	id             scheduler.ID
	kind           scheduler.StepKind
	hold           *scheduler.Hold
	order          *scheduler.Order
	stageBy        scheduler.ID
	typical, local scheduler.ID
	fact           scheduler.Fact
	length         minute // of the whole step
	cal            *calendar

	plan          *scheduler.PlannedStep
	start, finish minute // planned, or as recorded
	rest          minute // what is left as of
	resume        minute // start of the rest: start where nothing is recorded
}

func (s *step) done() bool { return s.fact.Done != nil || s.fact.Released != nil }

func (s *step) begun() bool { return s.fact.Started != nil && !s.done() }

// expand makes the steps, waits, layers and occupations of the job.
func (c *checker) expand() {
	c.byID = map[scheduler.ID]*step{}
	c.every = map[scheduler.ID][]*step{}
	for k := range c.job.Tasks {
		c.addTask(&c.job.Tasks[k], nil, "")
	}
	for k := range c.job.Holds {
		c.addHold(&c.job.Holds[k], nil, "")
	}
	for k := range c.job.Orders {
		c.addOrder(&c.job.Orders[k])
	}
	for k := range c.job.Typicals {
		t := &c.job.Typicals[k]
		for _, place := range t.Places {
			for i := range t.Tasks {
				c.addTask(&t.Tasks[i], t, place)
			}
			for i := range t.Holds {
				c.addHold(&t.Holds[i], t, place)
			}
		}
	}
	for _, f := range c.job.Facts {
		if s := c.one(f.Step, ""); s != nil {
			s.fact = f
		}
	}
	for _, s := range c.steps {
		if s.hold != nil && s.hold.Witness && s.done() { // somebody came: no notice need pass
			s.Takes, s.length = s.hold.Takes, c.minutes(s.hold.Takes)
		}
		s.cal = c.calendarOf(s)
	}
	c.expandWaits()
	c.expandLayers()
	c.expandOccupations()
}

func (c *checker) add(s *step, takes worktime.Span) {
	s.Takes = takes
	s.Crews = max(1, s.Crews)
	s.length = c.minutes(takes)
	c.steps = append(c.steps, s)
	c.byID[s.id] = s
}

// instance puts a typical's step at a place.
func (c *checker) instance(s *step, t *scheduler.Typical, place scheduler.ID) {
	if t == nil {
		return
	}
	s.typical, s.local = t.ID, s.id
	s.id = place + "." + s.local
	if len(s.Places) == 0 {
		s.Places = []scheduler.ID{place}
	}
	all := t.ID + "." + s.local
	c.every[all] = append(c.every[all], s)
}

func (c *checker) addTask(t *scheduler.Task, ty *scheduler.Typical, place scheduler.ID) {
	s := &step{id: t.ID, kind: scheduler.TaskStep, Work: t.Work}
	c.instance(s, ty, place)
	c.add(s, t.Takes)
}

// addHold adds a hold point. A witness point stands open when its notice has passed.
func (c *checker) addHold(h *scheduler.Hold, ty *scheduler.Typical, place scheduler.ID) {
	s := &step{id: h.ID, kind: scheduler.HoldStep, Work: h.Work, hold: h}
	c.instance(s, ty, place)
	takes := h.Takes
	if h.Witness {
		takes = h.Notice
	}
	c.add(s, takes)
}

func (c *checker) addOrder(o *scheduler.Order) {
	for k := range o.Stages {
		g := &o.Stages[k]
		c.add(&step{id: o.ID + "." + g.ID, kind: scheduler.StageStep, order: o, stageBy: g.By}, g.Takes)
	}
	s := &step{id: o.ID + ".delivery", kind: scheduler.HoldStep, order: o, hold: &scheduler.Hold{Kind: scheduler.Delivery, By: o.Receives}}
	s.Places, s.Gear = o.Places, o.Gear
	if c.tradeOf(o.Receives) != nil {
		s.Trades = []scheduler.ID{o.Receives}
	}
	c.add(s, o.Unload)
}

func (c *checker) tradeOf(id scheduler.ID) *scheduler.Trade {
	for k := range c.job.Trades {
		if c.job.Trades[k].ID == id {
			return &c.job.Trades[k]
		}
	}
	return nil
}

// minutes is the length of a span: working minutes, or real ones for elapsed spans.
func (c *checker) minutes(s worktime.Span) minute {
	day, days := minute(0), minute(0)
	for _, periods := range c.job.Week {
		sum := minute(0)
		for _, p := range periods {
			sum += minute(p.To - p.From)
		}
		day = max(day, sum)
		if sum > 0 {
			days++
		}
	}
	switch c.job.Day.Unit {
	case worktime.Hours:
		day = cmp.Or(60*minute(c.job.Day.Amount), day)
	case worktime.Minutes:
		day = cmp.Or(minute(c.job.Day.Amount), day)
	}
	of := [...]minute{
		worktime.Minutes: 1, worktime.Hours: 60, worktime.Days: day, worktime.Weeks: day * days,
		worktime.ElapsedMinutes: 1, worktime.ElapsedHours: 60, worktime.ElapsedDays: 24 * 60, worktime.ElapsedWeeks: 7 * 24 * 60,
	}
	return minute(s.Amount) * of[s.Unit]
}

// elapsed says whether a step runs in real time.
func (s *step) elapsed() bool { return s.Takes.Unit >= worktime.ElapsedMinutes && s.length > 0 }

// calendarOf is when a step can be worked on: when the site, each of its trades,
// each of its places and all places around them are at work.
func (c *checker) calendarOf(s *step) *calendar {
	if s.elapsed() {
		return c.cals.real
	}
	parts := map[string]hours{}
	trades := s.Trades
	if s.stageBy != "" {
		trades = []scheduler.ID{s.stageBy}
	}
	for _, id := range trades {
		if t := c.tradeOf(id); t != nil {
			parts["trade "+string(id)] = c.hours(t.Week, t.Off)
		}
	}
	for _, id := range s.Places {
		for _, around := range c.chain(id) {
			p := c.places[around]
			parts["place "+string(around)] = c.hours(p.Week, p.Closures)
		}
	}
	all := []hours{{c.job.Week, c.job.Closures}}
	keys := make([]string, 0, len(parts))
	for key := range parts {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		all = append(all, parts[key])
	}
	return c.overlap(strings.Join(keys, ","), all)
}

func (c *checker) hours(own *worktime.Week, off []scheduler.Closure) hours {
	if own != nil {
		return hours{*own, off}
	}
	return hours{c.job.Week, off}
}

// chain is a place and all places around it.
func (c *checker) chain(place scheduler.ID) []scheduler.ID {
	var out []scheduler.ID
	for p := c.places[place]; p != nil && len(out) <= len(c.job.Places); p = c.places[p.Within] {
		out = append(out, p.ID)
	}
	return out
}

// layOut prepares places and the calendars, which reach over all days that the job
// and the plan speak of and three years beyond, in which a step may still be held back.
func (c *checker) layOut() {
	c.places = map[scheduler.ID]*scheduler.Place{}
	for k := range c.job.Places {
		c.places[c.job.Places[k].ID] = &c.job.Places[k]
	}
	from, to := c.job.Start, c.job.Start
	see := func(d worktime.Date) { from, to = min(from, d), max(to, d) }
	for _, f := range c.job.Facts {
		for _, w := range []*worktime.When{f.Started, f.Done, f.Booked, f.Expected, f.Released, f.Refused} {
			if w != nil {
				see(w.Day)
			}
		}
	}
	for _, d := range c.job.Dues {
		see(d.On)
	}
	see(c.day(c.asOf))
	for k := range c.plan.Steps {
		p := &c.plan.Steps[k]
		for _, t := range []time.Time{p.EarliestStart, p.LatestStart, p.LatestFinish, p.Start, p.Finish, p.PlanLatest} {
			if y := t.Year(); y > 1900 && y < 2200 {
				see(c.day(minuteOf(t)))
			}
		}
	}
	c.cals = calendars{from: from - 3*366, to: to + 3*366, made: map[string]*calendar{}, real: &calendar{real: true}}
	c.cals.site = c.overlap("", []hours{{c.job.Week, c.job.Closures}})
}

// matchSteps holds the plan's steps against the job's: each once and no other.
func (c *checker) matchSteps() bool {
	before := len(c.found)
	for k := range c.plan.Steps {
		p := &c.plan.Steps[k]
		s := c.byID[p.ID]
		switch {
		case s == nil:
			c.report(StepUnknown, []scheduler.ID{p.ID}, "the job has no step %s", p.ID)
			continue
		case s.plan != nil:
			c.report(StepUnknown, []scheduler.ID{p.ID}, "step %s is in the plan twice", p.ID)
			continue
		}
		s.plan = p
		s.start, s.finish = minuteOf(p.Start), minuteOf(p.Finish)
	}
	for _, s := range c.steps {
		if s.plan == nil {
			c.report(StepMissing, ids(s), "step %s is not in the plan", s.id)
		}
	}
	if len(c.found) > before {
		return false
	}
	for _, s := range c.steps {
		c.matchStep(s)
		c.resumption(s)
	}
	return true
}

func (c *checker) matchStep(s *step) {
	p := s.plan
	order := scheduler.ID("")
	if s.order != nil {
		order = s.order.ID
	}
	switch {
	case p.Kind != s.kind, p.Typical != s.typical, p.Order != order,
		!slices.Equal(p.Trades, s.Trades), !slices.Equal(p.Places, s.Places), p.Elapsed != s.elapsed():
		c.report(StepMisstated, ids(s), "step %s is not stated as in the job", s.id)
	}
}
