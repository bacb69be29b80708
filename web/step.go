package web

import (
	"cmp"
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// stepPage is one step: its dates, why they are what they are, and the forms that
// record what happens to it.
type stepPage struct {
	Frame
	Defs     template.HTML
	Swatch   template.HTML
	Step     string
	Kind     string
	State    string
	Where    string
	Edit     Part // where it is changed; empty: the reader may not
	Who      Line
	Note     string
	Cautions []scheduler.Caution
	Lead     []Line // where it stands, in sentences
	Drawings []Line // by which it is done
	Dates    []dateRow
	Floats   []Line
	Needs    []readyEntry
	Why      []whyEntry
	Earlier  *earlierPart // nil: nothing to ask
	TrialsAt string
	Made     *folded[Line] // what is there already of what it concerns; nil: it is done itself
	Before   []waitEntry
	After    []waitEntry
	Holds    []Line // what it holds up
	Forms    stepForms
	Attached *attachedPart // nil: nothing can be attached
	Later    bool          // nothing is to be recorded yet, so the forms are folded away
}

// dateRow is one line of the table of dates.
type dateRow struct {
	What          string
	Start, Finish Part
}

// waitEntry is one wait into or out of the step.
type waitEntry struct {
	Says   Line
	Detail string
	Waived string
	Tight  bool
}

func (stepPage) name() string { return "step" }

func (p *Pages) step(c echo.Context) error {
	b, s, err := p.boardAndStep(c)
	if err != nil {
		return err
	}
	pg := newStepPage(b, s, b.stepForms(s))
	if pg.Attached, err = p.attached(c, b, s, ""); err != nil {
		return err
	}
	pg.Earlier = p.earlier(c, b, s)
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

func (p *Pages) boardAndStep(c echo.Context) (*board, *scheduler.PlannedStep, error) {
	b, err := p.board(c)
	if err != nil {
		return nil, nil, err
	}
	s := b.steps[scheduler.ID(c.Param("step"))]
	if s == nil {
		return nil, nil, scheduler.ErrNotFound
	}
	return b, s, nil
}

func newStepPage(b *board, s *scheduler.PlannedStep, forms stepForms) stepPage {
	pg := stepPage{
		Frame: b.frame(s.Title, ""), Step: s.Title, Swatch: b.swatch(s), State: stateWord(s), Where: b.placeNames(s.Places),
		Who: b.tradeNames(s.Trades), Cautions: s.Cautions, Kind: string(s.Kind),
		Lead: b.stepLead(s), Dates: b.stepDates(s), Floats: b.floats(s), Why: b.why(s), Forms: forms, TrialsAt: b.link("/trials"), Drawings: b.builtBy(s.ID),
	}
	for k := range pg.Job.Tabs {
		pg.Job.Tabs[k].Here = false
	}
	pg.Edit = b.editOf(s.ID)
	if k, ok := b.Network.Find(s.ID); ok {
		n := &b.Network.Steps[k]
		pg.Note = n.Note
		pg.Kind = kindWord(n)
	}
	for _, n := range s.Needs {
		r := readyEntry{Met: n.Met, Says: say(n.Text)}
		if step := b.steps[n.Step]; step != nil {
			r.Says = say(b.stepAt(n.Step), ": ", b.standing(step))
		}
		pg.Needs = append(pg.Needs, r)
	}
	if s.State != scheduler.Complete {
		made := b.made(s)
		pg.Made = &made
	}
	pg.Before, pg.After = b.waitsAround(s.ID)
	pg.Later = s.Kind != scheduler.HoldStep && s.State == scheduler.Waiting && b.facts[s.ID] == nil && !forms.sentBack()
	if h := b.holds[s.ID]; h != nil && s.State != scheduler.Complete {
		for _, id := range h.Holds {
			pg.Holds = append(pg.Holds, b.stepAt(id))
		}
	}
	pg.Defs = b.defs()
	return pg
}

func kindWord(n *scheduler.Step) string {
	switch {
	case n.Kind == scheduler.HoldStep && n.Witness:
		return "Witness point: " + string(n.HoldKind)
	case n.Kind == scheduler.HoldStep:
		return "Hold point: " + string(n.HoldKind)
	case n.Kind == scheduler.StageStep:
		return "Stage of an order"
	default:
		return "Task"
	}
}

func stateWord(s *scheduler.PlannedStep) string {
	switch s.State {
	case scheduler.Complete:
		return doneWord(s)
	case scheduler.Underway:
		return "under way"
	case scheduler.Refused:
		return "refused"
	case scheduler.Ready:
		return "nothing stops it"
	default:
		return "waits"
	}
}

// standing is how far another step has come, with its day.
func (b *board) standing(s *scheduler.PlannedStep) Line {
	if s.State == scheduler.Complete {
		return say(doneWord(s)+" ", b.endOf(s))
	}
	if h := b.holds[s.ID]; h != nil {
		return b.holdStatus(h)
	}
	return say(stateWord(s)+", planned to be done ", b.endOf(s))
}

func (b *board) stepLead(s *scheduler.PlannedStep) []Line {
	var lines []Line
	switch s.State {
	case scheduler.Complete:
		if f := b.facts[s.ID]; f != nil && f.Released != nil {
			break // what was recorded says it, and by whom
		}
		lines = append(lines, say(upper(doneWord(s))+" on ", say(b.endOf(s)).strong(), "."))
	case scheduler.Underway:
		lines = append(lines, say("Under way since ", b.startOf(s), "; "+b.work(s.Rest)+" left, planned to be done on ", say(b.endOf(s)).strong(), "."))
	default:
		lines = append(lines, say(b.fromTo(s).capital(), "."))
	}
	if h := b.holds[s.ID]; h != nil && s.State != scheduler.Complete {
		l := say("Needed by ", b.to(b.onEnd(h.NeedBy), h.ID, slipsTo), " so that nobody in the plan waits, by ", b.to(b.onEnd(h.LatestBy), h.ID, slipsTo), " so that the due days hold: "+b.margin(h.Margin)+".")
		if h.TellBy != nil && h.Booked == nil {
			l = say(l, " ", upper(cmp.Or(b.who(h.By), "they"))+" must be told by ", b.to(b.on(*h.TellBy), h.ID, slipsTo), ".")
		}
		lines = append(lines, l)
	}
	if f := b.facts[s.ID]; f != nil {
		lines = append(lines, b.factLines(f)...)
	}
	if s.OutOfOrder {
		lines = append(lines, say("It was begun out of order: before something it should have waited for."))
	}
	return lines
}

// factLines is what has been recorded, beside the days that the dates show.
func (b *board) factLines(f *scheduler.Fact) []Line {
	var lines []Line
	by := ""
	if f.By != "" {
		by = " by " + b.who(f.By)
	}
	for _, r := range []struct {
		word string
		when *worktime.When
	}{{"Booked for", f.Booked}, {"Expected on", f.Expected}, {"Released on", f.Released}, {"Refused on", f.Refused}} {
		if r.when != nil {
			lines = append(lines, say(r.word+" ", b.to(b.whenPart(*r.when), f.Step, heldThere), by+"."))
		}
	}
	if f.Measured != nil {
		lines = append(lines, say("Measured: "+number0(*f.Measured)+" mm."))
	}
	if f.Note != "" {
		lines = append(lines, say("Note: "+f.Note))
	}
	if f.Evidence != "" {
		lines = append(lines, say("Evidence: "+f.Evidence))
	}
	return lines
}

func (b *board) whenPart(w worktime.When) Part {
	p := b.onDate(w.Day)
	if w.Time != nil {
		p.Text += ", " + w.Time.String()
	}
	return p
}
