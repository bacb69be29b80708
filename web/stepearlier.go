package web

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
	"gaugerod/scheduler/worktime"
)

// Limits of what is tried for one question. Common practice, no source.
const (
	mostTried    = 6                // things that could give way, each planned with
	mostEarlier  = 90               // days
	tryingAtMost = 10 * time.Second // for all of them
)

// earlierPart answers what would have to change for a step to be some days earlier.
type earlierPart struct {
	Action string
	Days   string
	Wrong  string
	Asked  bool
	Says   []Line // the answer
	Tried  []Line
	Limits string // what was not tried
}

// attempt is one thing that gives way.
type attempt struct {
	about  string // what is changed: once is enough
	says   Line
	change func(*scheduler.Job) error
}

// earlier is the question of a step's page, with its answer where it was asked; nil
// where there is none to ask.
func (p *Pages) earlier(c echo.Context, b *board, s *scheduler.PlannedStep) *earlierPart {
	if b.query != "" || s.State == scheduler.Complete || s.State == scheduler.Underway {
		return nil
	}
	part := &earlierPart{Action: b.link("/steps/"+string(s.ID)) + "#earlier", Days: "5"}
	text := c.QueryParam("earlier")
	if text == "" {
		return part
	}
	part.Days, part.Asked = text, true
	days, err := strconv.Atoi(text)
	if err != nil || days < 1 || days > mostEarlier {
		part.Wrong = "Give a number of days from 1 to " + strconv.Itoa(mostEarlier) + "."
		return part
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), tryingAtMost)
	defer cancel()
	p.tryEarlier(ctx, b, s, days, part)
	return part
}

// tryEarlier plans the job anew with each thing that could give way changed, and with
// all of them where none is enough.
func (p *Pages) tryEarlier(ctx context.Context, b *board, s *scheduler.PlannedStep, days int, part *earlierPart) {
	holders, err := why.Holders(b.Plan, s.ID)
	if err != nil || len(holders) == 0 {
		part.Says = []Line{say("Nothing on the chains that hold it could be tried: it stands there by what is recorded, by waits, by days off, or because it gains nothing by moving.")}
		return
	}
	var all []attempt
	known := map[string]bool{}
	for _, h := range holders {
		if a := b.attempt(h, days); a != nil && !known[a.about] {
			known[a.about] = true
			all = append(all, *a)
		}
	}
	left := max(0, len(all)-mostTried)
	all = all[:len(all)-left]
	enough, best, out := 0, 0, false
	for _, a := range all {
		gained, verdict := p.try(ctx, b, s, days, a.change)
		out = out || errors.Is(ctx.Err(), context.DeadlineExceeded)
		if gained >= days {
			enough++
		}
		best = max(best, gained)
		part.Tried = append(part.Tried, say(a.says, ": ", verdict, "."))
	}
	switch {
	case out:
		part.Says = append(part.Says, say("Time ran out: not all of it could be planned."))
	case enough == 1:
		part.Says = append(part.Says, say("One thing that was tried is enough by itself, as the job stands."))
	case enough > 1:
		part.Says = append(part.Says, say(upper(number(enough, "thing")), " that were tried are each enough, as the job stands: one of them will do."))
	default:
		part.Says = append(part.Says, p.tryTogether(ctx, b, s, days, best, all))
	}
	part.Limits = "Tried by planning the job anew; nothing is kept. Not tried: less than half the time for a step, shorter waits such as cures, other days off, more room in a place, another order of work."
	if left > 0 {
		part.Limits += " Nor was what stands further back on the chains: " + number(left, "more thing") + "."
	}
}

// tryTogether says what all attempts together come to, where none is enough.
func (p *Pages) tryTogether(ctx context.Context, b *board, s *scheduler.PlannedStep, days, best int, all []attempt) Line {
	if len(all) < 2 {
		return say("What was tried is not enough by itself: something else holds it too, or holds it next.")
	}
	gained, verdict := p.try(ctx, b, s, days, func(j *scheduler.Job) error {
		for _, a := range all {
			if err := a.change(j); err != nil {
				return err
			}
		}
		return nil
	})
	switch {
	case gained >= days:
		return say("None is enough by itself. All of them together are: ", verdict, ". At least two of them have to give way.")
	case gained > best:
		return say("None is enough by itself, nor are all together: ", verdict, ".")
	default:
		return say("None is enough by itself, and together they bring no more.")
	}
}

// try plans the job with a change and says how many days earlier the step starts.
func (p *Pages) try(ctx context.Context, b *board, s *scheduler.PlannedStep, days int, change func(*scheduler.Job) error) (int, Line) {
	_, then, err := p.office.Preview(ctx, b.Job.ID, change)
	refusal, refused := errors.AsType[*scheduler.Refusal](err)
	switch {
	case refused:
		return 0, say("cannot be tried, " + refusal.What)
	case err != nil:
		return 0, say("could not be planned")
	}
	return b.gained(then, s, days)
}

// gained says how many days earlier a step starts in another plan.
func (b *board) gained(then *office.Sheet, s *scheduler.PlannedStep, days int) (int, Line) {
	is := then.Plan.FindStep(s.ID)
	if is == nil {
		return 0, say("the step is not there any more")
	}
	n := int(b.civil(s.Start) - b.civil(is.Start))
	switch {
	case n < 0:
		return 0, say(number(-n, "day"), " later, on ", b.on(is.Start).is(triedDay))
	case n == 0:
		return 0, say("not a day earlier, for something else holds it too")
	case n < days:
		return n, say(number(n, "day"), " earlier, on ", b.on(is.Start).is(triedDay), ", which is not enough")
	default:
		return n, say(heavy(number(n, "day")+" earlier"), ", on ", b.on(is.Start).is(triedDay), ", which is enough")
	}
}

// attempt is how a thing gives way by so many days; nil where it cannot.
func (b *board) attempt(h why.Holder, days int) *attempt {
	s := b.steps[h.Step]
	switch h.Kind {
	case why.Work:
		return b.lessWork(s, days)
	case why.Crew:
		t := b.trades[h.Trade]
		if t == nil {
			return nil
		}
		crews := max(1, t.Crews) + 1
		return &attempt{
			"crews " + string(t.ID),
			say(Part{Text: t.Title, Href: b.link("/trades/" + string(t.ID))}, " with "+number(crews, "crew")+" at once"),
			func(j *scheduler.Job) error { return j.SetCrews(h.Trade, crews) },
		}
	case why.Word:
		day := max(b.AsOf, b.civil(s.Start)-worktime.Date(days))
		return &attempt{
			"word " + string(h.Step),
			say(b.stepAt(h.Step), " comes on ", b.onDate(day).is(triedDay)),
			func(j *scheduler.Job) error {
				return j.Record(scheduler.Fact{Step: h.Step, Expected: &worktime.When{Day: day}})
			},
		}
	case why.Pin:
		return &attempt{
			"pin " + string(h.Step),
			say(b.stepAt(h.Step), " without its pin"),
			func(j *scheduler.Job) error { return j.Unpin(h.Step) },
		}
	}
	return nil
}

// lessWork has a step take some days less, but half of its time at least: what has to
// go faster than that is another way to build it.
func (b *board) lessWork(s *scheduler.PlannedStep, days int) *attempt {
	day, unit, words := b.Plan.DayMinutes, worktime.Minutes, b.work
	if s.Elapsed {
		day, unit = 24*60, worktime.ElapsedMinutes
		words = func(m int64) string { return elapsed(time.Duration(m) * time.Minute) }
	}
	all := s.Work
	if s.State == scheduler.Underway {
		all = s.Rest
	}
	left := max(all-int64(days)*day, all/2)
	if left == all || left > worktime.MaxAmount {
		return nil
	}
	span := worktime.Span{Amount: int32(left), Unit: unit}
	name, where := s.ID, Line(nil)
	if s.Typical != "" {
		// One place of a typical takes what all take.
		if at := strings.LastIndexByte(string(s.ID), '.'); at >= 0 {
			name, where = s.Typical+s.ID[at:], say(", and so at every place")
		}
	}
	if s.State == scheduler.Underway {
		return &attempt{
			"left " + string(s.ID),
			say(b.stepAt(s.ID), " has "+words(left)+" left in place of "+words(all)),
			func(j *scheduler.Job) error { return j.Record(scheduler.Fact{Step: s.ID, Remaining: &span}) },
		}
	}
	return &attempt{
		"takes " + string(name),
		say(b.stepAt(s.ID), " takes "+words(left)+" in place of "+words(all), where),
		func(j *scheduler.Job) error { return j.SetTakes(name, span) },
	}
}
