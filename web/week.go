package web

import (
	"html/template"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// weekPage answers, in sentences, what the week is about.
type weekPage struct {
	Frame
	Defs           template.HTML
	Week           Line
	Earlier, Later string
	ThisWeek       string // empty on this week's own page
	Opening        []Line
	Search         Line // how far a better plan is looked for, empty: it is not
	Promises       promisePart
	Weeks          []aheadEntry
	Grave          []alertEntry
	OtherAlerts    Line
	Ahead, Coming  []workEntry
	Stops          []stopEntry
	Days           []dayEntry
	Arrivals       []Line
	Covers         []coverEntry
	Gates          []gateEntry
	Decisions      []dueEntry
	ToOrder        []dueEntry
	ToDraw         []dueEntry
	Drawings       string // where all drawings are
	Unloading      []Line // what is said of it for the whole site
	Clocks         []clockEntry
	Weather        weatherPart
	Occupied       []occupiedEntry
	Sure           []Line // of the finish
	Moved          againstPromise
	Trials         string
	Odds           string
	MoveOn         moveOnForm
}

func (weekPage) name() string { return "week" }

// week is seven days from a Monday, as times.
type week struct {
	monday worktime.Date
	from   time.Time
	to     time.Time // the next Monday, 00:00
}

func (b *board) weekOf(d worktime.Date) week {
	monday := d - worktime.Date((int(d.Weekday())+6)%7)
	return week{monday, monday.At(0, b.zone).Time(b.zone), (monday + 7).At(0, b.zone).Time(b.zone)}
}

// has says whether any of the time from a to b lies in the week. A moment counts.
func (w week) has(a, b time.Time) bool {
	return a.Before(w.to) && (b.After(w.from) || a.Equal(b) && !a.Before(w.from))
}

func (w week) hasTime(t time.Time) bool { return w.has(t, t) }

// askedWeek is the week of the day that a request names, else of the as-of day.
func (p *Pages) askedWeek(c echo.Context) (*board, week, error) {
	b, err := p.board(c)
	if err != nil {
		return nil, week{}, err
	}
	day := b.AsOf
	if text := c.QueryParam("week"); text != "" {
		if day, err = worktime.ParseDate(text); err != nil {
			return nil, week{}, echo.NewHTTPError(http.StatusBadRequest, err.Error())
		}
	}
	return b, b.weekOf(day), nil
}

// mayBeSearched says whether a better plan may be or have been looked for: never where
// the first one was proven.
func (b *board) mayBeSearched() bool { return !b.Plan.Proven || b.Take > 1 }

func (p *Pages) week(c echo.Context) error {
	b, w, err := p.askedWeek(c)
	if err != nil {
		return err
	}
	pg := newWeekPage(b, w)
	if b.query == "" && b.mayBeSearched() {
		searches, err := p.office.Searches(c.Request().Context(), b.Job.ID, 1)
		if err != nil {
			return err
		}
		if len(searches) > 0 && searches[0].Revision == b.Revision {
			pg.Search = b.searched(&searches[0])
		}
	}
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

func newWeekPage(b *board, w week) weekPage {
	pg := weekPage{
		Frame:   b.frame("This week", ""),
		Week:    b.span(w.monday, w.monday+6),
		Earlier: b.with("", "week", (w.monday - 7).String()),
		Later:   b.with("", "week", (w.monday + 7).String()),
		Opening: b.opening(),
		Stops:   b.stops(w), Days: b.whoComes(w), Arrivals: b.arrivals(w), Covers: b.covers(w),
		Gates: b.gates(w), Decisions: b.decisions(w), ToOrder: b.toOrder(w), ToDraw: b.toDraw(w), Drawings: b.link("/orders") + "#drawings", Unloading: b.unloading(), Clocks: b.clocks(),
		MoveOn: b.moveOnForm(), Promises: b.weekBefore(w), Weeks: b.lookAhead(w),
		Weather: b.weather(w), Occupied: b.occupied(w), Sure: b.sureOfFinish(), Moved: b.againstPromise(), Trials: b.link("/trials"), Odds: b.link("/odds"),
	}
	if w.monday != b.weekOf(b.AsOf).monday {
		pg.Title, pg.ThisWeek = "One week", b.link("")
	}
	pg.Job.Paper = b.ofWeek(w)
	pg.Ahead, pg.Coming = b.tasks(w)
	pg.Grave, pg.OtherAlerts = b.graveFirst()
	pg.Defs = b.defs()
	return pg
}

// opening says when the job finishes, how near the plan comes to what it is made for,
// and how its due days stand.
func (b *board) opening() []Line {
	lines := []Line{say("The work is planned to finish on ", say(b.finish()).strong(), ".")}
	for k := range b.Plan.Aims {
		lines = append(lines, b.told(b.Plan.Aims[k].Text, b.lastStep()))
	}
	for _, d := range b.Plan.Dues {
		if b.done(d.Step) {
			continue
		}
		verdict := ", " + b.margin(d.Margin) + "."
		lines = append(lines, say(heavy(d.Title), " is due by ", b.onEnd(d.By).is(dueDay), " and planned for ", b.to(b.onEnd(d.Planned), d.Step, heldThere), verdict))
	}
	return lines
}

// with is a path of this job with one more parameter.
func (b *board) with(path, name, value string) string { return b.asking(path, name+"="+value) }

// workEntry is a task and how it stands.
type workEntry struct {
	Step     Line
	Swatch   template.HTML
	Says     Line
	Cautions []scheduler.Caution
	Record   string
	Odd      string // out of order
}

// tasks is the week's tasks: what can go ahead now, and what comes in its turn.
func (b *board) tasks(w week) (ahead, coming []workEntry) {
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.Kind != scheduler.TaskStep || s.State == scheduler.Complete || !w.has(s.Start, s.Finish) {
			continue
		}
		e := workEntry{Step: b.stepAt(s.ID), Swatch: b.swatch(s), Cautions: s.Cautions, Record: b.link("/steps/"+string(s.ID)) + "#record"}
		if s.OutOfOrder {
			e.Odd = "out of order"
		}
		switch {
		case s.State == scheduler.Underway:
			e.Says = say("Under way since ", b.startOf(s), "; planned to be done on ", b.endOf(s), ".")
			ahead = append(ahead, e)
		case len(b.unmet(s)) == 0:
			e.Says = say("Nothing stops it: ", b.fromTo(s), ".")
			ahead = append(ahead, e)
		default:
			e.Says = say(b.fromTo(s).capital(), ", once ", b.untilMet(s), ".")
			coming = append(coming, e)
		}
	}
	return ahead, coming
}

func (b *board) swatch(s *scheduler.PlannedStep) template.HTML {
	if len(s.Trades) == 0 {
		return ""
	}
	return b.swatchOf(s.Trades[0])
}

func (b *board) unmet(s *scheduler.PlannedStep) []scheduler.Need {
	var left []scheduler.Need
	for _, n := range s.Needs {
		if !n.Met {
			left = append(left, n)
		}
	}
	return left
}

// untilMet names what a step still waits for, each with its planned day.
func (b *board) untilMet(s *scheduler.PlannedStep) Line {
	var lines []Line
	for _, n := range b.unmet(s) {
		if step := b.steps[n.Step]; step != nil {
			lines = append(lines, say(b.step(n.Step), " is "+doneWord(step)+" (", b.endOf(step), ")"))
		} else {
			lines = append(lines, say(n.Text))
		}
	}
	return together(lines)
}

// doneWord is the word for a step's being finished.
func doneWord(s *scheduler.PlannedStep) string {
	switch {
	case s.Kind == scheduler.HoldStep && s.Order != "":
		return "delivered"
	case s.Kind == scheduler.HoldStep:
		return "released"
	default:
		return "done"
	}
}

// stopEntry is a gate that is shut, and the work it stops.
type stopEntry struct {
	Gate  Line
	Where Line
	Why   Line
	Stops []Line
	Href  string
}

// stops lists the gates that stop work planned for this week or the next.
func (b *board) stops(w week) []stopEntry {
	next := w.to.AddDate(0, 0, 7)
	at := map[scheduler.ID]int{}
	var all []stopEntry
	for k := range b.Plan.Steps {
		s := &b.Plan.Steps[k]
		if s.Kind != scheduler.TaskStep || s.State == scheduler.Complete || !s.Start.Before(next) || !s.Finish.After(w.from) {
			continue
		}
		for _, n := range b.unmet(s) {
			h := b.holds[n.Step]
			if h == nil {
				continue
			}
			n, known := at[h.ID]
			if !known {
				n = len(all)
				at[h.ID] = n
				all = append(all, stopEntry{
					Gate: b.stepAt(h.ID), Where: b.holdStatus(h), Why: b.whyNotNow(h.ID), Href: b.link("/steps/" + string(h.ID)),
				})
			}
			all[n].Stops = append(all[n].Stops, say(b.stepAt(s.ID), " (planned for ", b.startOf(s), ")"))
		}
	}
	return all
}

// whyNotNow is what holds a step where it is planned, in the plan's own words.
func (b *board) whyNotNow(id scheduler.ID) Line {
	s := b.steps[id]
	if s == nil || len(s.Drivers) == 0 {
		return nil
	}
	d := s.Drivers[0]
	if d.Step != "" && d.Step != id {
		return say(b.holding(&d, id), " (", b.step(d.Step), ")")
	}
	return b.holding(&d, id)
}
