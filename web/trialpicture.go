package web

import (
	"html/template"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/draw"
)

// trialPicture is the plan of a trial and today's plan in one picture, over some time.
type trialPicture struct {
	Defs    template.HTML
	Picture pictured
	Turn    turning
	Shown   string // the time that was asked for, for the forms beside the picture; empty: the usual one
	Days    string // the first day and where each day begins, in pixels, for the script
	Afar    Line   // the first day that moves, where the picture does not show it
}

// over is the time that the picture shows.
func (pg *trialPage) over(c echo.Context, now, then *board) (err error) {
	pg.Turn, err = now.timeOfTrial(c, then)
	pg.Shown = shownTime(c).Encode()
	pg.Defs = now.defs()
	return err
}

// timeOfTrial is the time that the picture of a trial shows: of all the days of both
// plans, and with what happens in it only.
func (b *board) timeOfTrial(c echo.Context, then *board) (turning, error) {
	reach, more := b.reach(), then.reach()
	reach = draw.Column{From: min(reach.From, more.From), Until: max(reach.Until, more.Until)}
	q := shownTime(c)
	q.Set("only", "1")
	return b.asked(q, "/trials/"+c.Param("trial"), usualZoom, reach)
}

// pictureOf draws both plans.
func (pg *trialPage) pictureOf(now, then *board, c *compare.Comparison) {
	beside := besidePlans{now: now, then: then, brief: !pg.Turn.zoom.labels()}
	if pg.May {
		beside.ask = "?"
		if pg.Shown != "" {
			beside.ask += pg.Shown + "&"
		}
	}
	scale := now.scaleOf(pg.Turn)
	field := draw.Field{Scale: scale, AsOf: now.begins, Labels: pg.Turn.zoom.labels()}
	for _, course := range beside.courses() {
		if showsAny(scale, course) {
			field.Courses = append(field.Courses, course)
		}
	}
	pg.Picture = now.pictured(pg.Turn, "Today's plan and the trial, trade by trade", field.LayOut(), nil, "")
	pg.Days = daysOf(scale)
	if first, moves := firstMoved(c); moves && (first < pg.Turn.window.From || first >= pg.Turn.window.Until) {
		pg.Afar = say("The first day that moves is ", now.onDate(first), ", which is not in the picture: ", Part{Text: "show it", Href: now.addressOf(pg.Turn, first) + "#picture"}, ".")
	}
}

// daysOf is the first day of a scale and where each begins, for the script.
func daysOf(s *draw.Scale) string {
	text := []string{s.From.String()}
	for _, x := range s.Lefts() {
		text = append(text, strconv.Itoa(int(math.Round(x))))
	}
	return strings.Join(text, " ")
}

// firstMoved is the first day that any move is about.
func firstMoved(c *compare.Comparison) (first worktime.Date, moves bool) {
	for _, call := range c.Calls {
		if !moves || call.First < first {
			first, moves = call.First, true
		}
	}
	return first, moves
}

// besidePlans is today's plan and that of a trial, to be drawn in one picture.
type besidePlans struct {
	now, then *board
	ask       string // what the addresses of steps that can be moved begin with; empty: none can
	brief     bool
}

// courses is a course for each trade, for deliveries and for other hold points.
func (p besidePlans) courses() []draw.Course {
	was, is := windowsOf(p.now.Plan), windowsOf(p.then.Plan)
	var all []draw.Course
	for k := range p.then.Job.Trades {
		t := &p.then.Job.Trades[k]
		all = append(all, p.trade(t, was[t.ID], is[t.ID]))
	}
	deliveries, others := draw.Course{Title: "Deliveries"}, draw.Course{Title: "Hold points"}
	for k := range p.then.Plan.Holds {
		h := &p.then.Plan.Holds[k]
		if h.Kind == scheduler.Delivery {
			p.hold(&deliveries, h)
		} else {
			p.hold(&others, h)
		}
	}
	return append(all, deliveries, others)
}

func windowsOf(plan *scheduler.Plan) map[scheduler.ID][]*scheduler.Window {
	by := map[scheduler.ID][]*scheduler.Window{}
	for k := range plan.Windows {
		w := &plan.Windows[k]
		by[w.Trade] = append(by[w.Trade], w)
	}
	return by
}

// trade is a trade's work as the trial has it; under what moves, thin, the days on
// which it is planned today.
func (p besidePlans) trade(t *scheduler.Trade, was, is []*scheduler.Window) draw.Course {
	course := draw.Course{Title: t.Title}
	before := map[string]*scheduler.Window{}
	for _, w := range was {
		before[w.ID] = w
	}
	for _, w := range is {
		visit := draw.Visit{}
		for _, id := range w.Steps {
			if s := p.then.steps[id]; s != nil {
				visit.Blocks = append(visit.Blocks, p.block(s, t.ID))
			}
		}
		if b := before[w.ID]; b != nil && p.moved(b.From, b.Until, w.From, w.Until) {
			visit.Agreed = p.today(b)
		}
		delete(before, w.ID)
		course.Visits = append(course.Visits, visit)
	}
	for _, w := range was { // those that the trial no longer has under their name
		if before[w.ID] != nil {
			course.Visits = append(course.Visits, draw.Visit{Agreed: p.today(w)})
		}
	}
	return course
}

func (p besidePlans) today(w *scheduler.Window) []draw.Agreed {
	return []draw.Agreed{{From: w.From, Until: w.Until, Words: p.now.place(w.Place) + " today"}}
}

// moved says whether a time begins or ends on another day.
func (p besidePlans) moved(from, until, newFrom, newUntil time.Time) bool {
	return p.now.civil(from) != p.then.civil(newFrom) || p.now.civilEnd(until) != p.then.civilEnd(newUntil)
}

func (p besidePlans) block(s *scheduler.PlannedStep, trade scheduler.ID) draw.Block {
	return draw.Block{
		Key: string(s.ID), Href: p.href(s), Tip: p.tip(s), Label: s.Title, Hatch: p.then.hatch(trade),
		Start: s.Start, Finish: s.Finish, Progress: progressOf(s),
	}
}

// hold is a hold point as the trial has it, and where it moves the day of today.
func (p besidePlans) hold(course *draw.Course, h *scheduler.PlannedHold) {
	s := p.then.steps[h.ID]
	if s == nil || s.State == scheduler.Complete {
		return
	}
	course.Marks = append(course.Marks, draw.Mark{
		Key: string(s.ID), Href: p.href(s), Tip: p.tip(s), Label: s.Title, At: s.Finish, Gate: p.then.gate(s.ID),
	})
	if was := p.now.steps[h.ID]; was != nil && p.moved(was.Start, was.Finish, s.Start, s.Finish) {
		course.Visits = append(course.Visits, draw.Visit{Agreed: []draw.Agreed{{From: was.Start, Until: was.Finish, Words: s.Title + " today"}}})
	}
}

// tip is what a step says, with its days of today where they are others.
func (p besidePlans) tip(s *scheduler.PlannedStep) string {
	tip := p.then.tip(s)
	if p.brief {
		return tip
	}
	if was := p.now.steps[s.ID]; was != nil && p.moved(was.Start, was.Finish, s.Start, s.Finish) {
		tip += " Today: " + p.now.days(was) + "."
	}
	return tip
}

// href is where a step is moved by hand: its form on this page. What has begun, and
// what the reader may not move, leads to its own page.
func (p besidePlans) href(s *scheduler.PlannedStep) string {
	if p.ask == "" || s.State == scheduler.Underway || s.State == scheduler.Complete {
		return p.now.base + "/steps/" + string(s.ID)
	}
	what := "pin"
	if p.then.holds[s.ID] != nil {
		what = "expected"
	}
	return p.ask + what + "=" + string(s.ID) + "#t-" + what
}
