package web

import (
	"html/template"
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// tradePage is one trade's windows of access.
type tradePage struct {
	Frame
	Edit    Part // where the trade is changed; empty: the reader may not
	Defs    template.HTML
	Swatch  template.HTML
	Trade   string
	Facts   []Line
	Windows []windowEntry
	Over    int
	Moved   []Line // of its windows, since they were promised; empty: none is promised
	People  *choices
	Choose  *choices // the windows of which it may be said what the trade said
	Form    form
	SaidAt  string
	SheetAt string // where a sheet with a private link is made, empty: the reader may not
}

type windowEntry struct {
	ID       string
	Days     Line
	Place    string
	Agreed   Line
	Says     []Line // the four days
	Picture  template.HTML
	Work     []Line
	Before   Line
	After    Line
	Drawings []Line
	Ready    []readyEntry
	Missing  int
	Sure     Line // how much of it is there; empty: nothing must be
	Cautions []scheduler.Caution

	last      Line // the day of what is ready last
	lastReady time.Time
}

// readyEntry is something that must be in place before the trade comes.
type readyEntry struct {
	Says Line
	Met  bool
}

func (tradePage) name() string { return "trade" }

func (p *Pages) trade(c echo.Context) error {
	b, t, err := p.boardAndTrade(c)
	if err != nil {
		return err
	}
	pg := newTradePage(b, t)
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

func (p *Pages) boardAndTrade(c echo.Context) (*board, *scheduler.Trade, error) {
	b, err := p.board(c)
	if err != nil {
		return nil, nil, err
	}
	t := b.trades[scheduler.ID(c.Param("trade"))]
	if t == nil {
		return nil, nil, scheduler.ErrNotFound
	}
	return b, t, nil
}

func newTradePage(b *board, t *scheduler.Trade) tradePage {
	hatch := b.hatch(t.ID)
	pg := tradePage{
		Frame: b.frame(t.Title, "/trades"), Defs: draw.Defs([]int{hatch}), Swatch: b.swatches()[t.ID], Trade: t.Title,
		Facts: b.tradeFacts(t), People: b.everybody(), Edit: b.changeOf("Change what is said of the trade", "trades", string(t.ID)),
	}
	pg.Choose, pg.SaidAt = b.windowChoices(b.visits(t.ID)), b.base+"/trades/"+string(t.ID)+"/said"
	sheet := "/trades/" + string(t.ID) + "/sheet.pdf"
	pg.Job.Paper = b.paperOf(sheet)
	if b.may("/trades/:trade/sheet.pdf") {
		pg.SheetAt = b.base + sheet
	}
	pg.Moved = b.movedOf(t.ID)
	for _, v := range b.visits(t.ID) {
		pg.Windows = append(pg.Windows, b.window(v))
	}
	for _, v := range b.Plan.Windows {
		if v.Trade == t.ID && b.over(v) {
			pg.Over++
		}
	}
	return pg
}

func (b *board) tradeFacts(t *scheduler.Trade) []Line {
	facts := []Line{say("Can send " + number(max(1, t.Crews), "crew") + " at once.")}
	if !t.Notice.Zero() {
		facts = append(facts, say("Needs to be told "+t.Notice.String()+" ahead."))
	}
	for _, o := range t.Off {
		if o.To >= b.AsOf {
			why := ""
			if o.Why != "" {
				why = " (" + o.Why + ")"
			}
			facts = append(facts, say("Away from ", b.stretchOf(o.From, o.To).is(promisedDay), why+"."))
		}
	}
	return facts
}

func sortVisits(all []scheduler.Window) {
	slices.SortStableFunc(all, func(x, y scheduler.Window) int { return x.From.Compare(y.From) })
}

func (b *board) window(v scheduler.Window) windowEntry {
	e := windowEntry{ID: v.ID, Days: b.visitDays(v), Place: b.place(v.Place), Agreed: b.agreed(v), Says: b.fourDays(v), Picture: b.windowPicture(v)}
	for _, id := range v.Steps {
		s := b.steps[id]
		if s == nil {
			continue
		}
		work := say(b.step(id), ", "+b.work(s.Work))
		if s.State == scheduler.Complete {
			work = say(b.step(id), ", done")
		} else if s.State == scheduler.Underway {
			work = say(b.step(id), ", "+b.work(s.Rest)+" left")
		}
		e.Work = append(e.Work, work)
		e.addReady(b, v, s)
		for _, c := range s.Cautions {
			if !slices.Contains(e.Cautions, c) {
				e.Cautions = append(e.Cautions, c)
			}
		}
	}
	e.Before, e.After = b.tradeNames(v.Before), b.tradeNames(v.After)
	e.Drawings = b.builtBy(v.Steps...)
	e.Sure = sureOf(e.Ready, e.Missing, e.last)
	return e
}

// addReady adds what a step of the visit needs and the visit itself does not bring.
func (e *windowEntry) addReady(b *board, v scheduler.Window, s *scheduler.PlannedStep) {
	if s.State == scheduler.Complete || s.State == scheduler.Underway {
		return
	}
	for _, n := range s.Needs {
		if slices.Contains(v.Steps, n.Step) {
			continue
		}
		step := b.steps[n.Step]
		r := readyEntry{Met: n.Met, Says: say(n.Text)}
		if step != nil {
			word := "planned for "
			if n.Met {
				word = doneWord(step) + " "
			}
			r.Says = say(b.stepAt(n.Step), ": "+word, b.endOf(step))
			if !n.Met && (e.lastReady.IsZero() || step.Finish.After(e.lastReady)) {
				e.last, e.lastReady = say(b.endOf(step)), step.Finish
			}
		}
		if slices.ContainsFunc(e.Ready, func(o readyEntry) bool { return o.Says.Text() == r.Says.Text() }) {
			continue
		}
		if !n.Met {
			e.Missing++
		}
		e.Ready = append(e.Ready, r)
	}
}

// fourDays is the four days of a window in plain words.
func (b *board) fourDays(v scheduler.Window) []Line {
	first, last := b.firstAndLast(v.Steps)
	day := func(p Part, step scheduler.ID, where string) Line { return say(b.to(p, step, where)).strong() }
	begin := say("Not before ", day(b.on(v.Earliest), first, slipsTo), ".")
	if v.From.Before(b.begins) {
		begin = say("There since ", day(b.on(v.From), first, heldThere), ".")
	}
	lines := []Line{
		begin,
		say(b.plannedFor(b.visitDays(v).strong()).capital(), "."),
		say("Out by ", day(b.onEnd(v.OutForOthers), last, slipsTo), ", and nobody else moves."),
		say("Out by ", day(b.onEnd(v.OutForDue), last, slipsTo), ", and the due days still hold."),
	}
	if !v.TellBy.IsZero() && v.From.After(b.begins) && v.TellBy.Before(v.From) {
		lines = append(lines, say("To be told by ", b.to(b.on(v.TellBy), first, slipsTo), "."))
	}
	return lines
}

// visitDays is the planned days of a visit.
func (b *board) visitDays(v scheduler.Window) Line { return b.stayOf(v.From, v.Until, v.Steps) }

// windowKey is under what the picture of a window is kept beside a sheet.
type windowKey struct{ window string }

func (b *board) windowPicture(v scheduler.Window) template.HTML {
	return b.Beside.Once(windowKey{v.ID}, func() any { return b.drawWindow(v) }).(template.HTML)
}

func (b *board) drawWindow(v scheduler.Window) template.HTML {
	first := latest(earliest(v.Earliest, v.From).AddDate(0, 0, -9), v.From.AddDate(0, 0, -70))
	last := earliest(latest(v.OutForDue, v.OutForOthers, v.Until), v.Until.AddDate(0, 0, 120))
	w := draw.Window{
		Scale: b.scale(b.civil(first)-2, b.civil(last)+3, 520, 520), Earliest: v.Earliest, From: v.From, Until: v.Until,
		OutForOthers: v.OutForOthers, OutDue: latest(v.OutForDue, v.OutForOthers), Hatch: b.hatch(v.Trade), Short: b.short(v.Trade), AsOf: b.begins,
	}
	return w.Draw("The window of access over time")
}
