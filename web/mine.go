package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// minePage is a trade's own part: its windows, what must be ready first, and its
// answers. It is filled from office.Mine and from nothing else of the job.
type minePage struct {
	Frame
	JobTitle string
	Trade    string
	AsOf     Part
	Said     string
	Wrong    string // what is wrong with an answer that has no form on the page any more
	Next     Line
	Made     Line         // when the page was made, for who reads it without a connection
	First    []mineWindow // under way, and the next
	Windows  []mineWindow // the others, folded
	Others   []mineTask   // steps in no window: legs of orders
	Off      []Line
	Site     []Line // what there is to know of it
	Revision int64
	Later    bool // a newer revision is being planned
}

// mineWindow is one window with its forms.
type mineWindow struct {
	ID           string // of the section
	Place        string
	Days         Line
	Says         []Line // the four days
	Agreed       Line
	Moved        bool
	Away         []Line
	Why          Line // what holds it there
	WhyID        string
	Ready        []readyEntry
	Missing      int
	Sure         Line
	Before       string
	After        string
	Cautions     []scheduler.Caution
	Open         []Line // what must not be covered
	Drawings     []Line // by which the work is done
	Brings       string
	Gear         string
	Tasks        []mineTask
	Short        string // what wants an answer, for the line of a folded window
	Revision     int64
	From, Until  string // the days shown, for the form
	Confirmed    bool
	ConfirmAt    string // addresses of the forms
	CannotAt     string
	Confirm, Off form
}

// mineTask is one step with its forms.
type mineTask struct {
	ID       string
	Title    string
	Place    string
	Says     Line
	Note     string
	State    scheduler.State
	Tells    bool
	Done     bool
	Underway bool
	At       string // address of its form
	Form     form
}

func (minePage) name() string { return "mine" }

// mineForm is a form of the page that was sent back, and of what it is.
type mineForm struct {
	about string // the window or step
	kind  string // "confirm", "cannot-come", "progress"
	form
}

func (p *Pages) mine(c echo.Context) error { return p.showMine(c, http.StatusOK, mineForm{}) }

func (p *Pages) showMine(c echo.Context, status int, in mineForm) error {
	link := signin.From(c.Request().Context()).Link
	if link == nil {
		return scheduler.ErrNotFound
	}
	sheet, newest, err := p.sheetFor(c, link.Job, nil)
	if err != nil {
		return err
	}
	m, err := sheet.Mine(link.Trade)
	if err != nil {
		return err
	}
	pg, err := newMinePage(sheet, m, in, p.now())
	if err != nil {
		return err
	}
	pg.Said = mineSayings[c.QueryParam("said")]
	pg.Later = newest > sheet.Revision
	return p.render(c, status, *pg)
}

var mineSayings = map[string]string{
	"confirm": "You have confirmed the window. Thank you.", "cannot-come": "It is noted that you cannot come on these days. The plan keeps clear of them.",
	"progress": "Your progress is recorded. Thank you.",
}

func newMinePage(s *office.Sheet, m *office.Mine, in mineForm, now time.Time) (*minePage, error) {
	l, err := layOut(s)
	if err != nil {
		return nil, err
	}
	v := mineWords{clockwork: l.clockwork, begins: l.begins, in: in}
	pg := &minePage{
		Frame: Frame{Title: m.Title + " · " + m.Job, Scripts: []string{"mine.js"}}, Made: say(v.at(now).is(recordedDay)), JobTitle: m.Job, Trade: m.Title, AsOf: v.onDate(s.AsOf).is(asOfDay), Revision: s.Revision,
	}
	pg.Next = say("No further visit of yours is planned.")
	shown, after := map[scheduler.ID]bool{}, 0
	for k := range m.Windows {
		w := &m.Windows[k]
		for _, t := range w.Tasks {
			shown[t.ID] = true
		}
		why := "why-" + strconv.Itoa(k)
		if w == m.Next() {
			pg.Next = say("Your next visit: "+w.Place+", ", because(v.stay(w.From, w.Until), why).strong(), ".")
		}
		seen := v.window(w, why)
		seen.Revision = s.Revision
		if next := m.Next(); next != nil && w != next && !w.Begun {
			after++
		}
		if w.Begun || w == m.Next() || seen.tells() {
			pg.First = append(pg.First, seen)
		} else {
			pg.Windows = append(pg.Windows, seen)
		}
	}
	if after > 0 {
		pg.Next = say(pg.Next, " "+upper(number(after, "more visit"))+" after it.")
	}
	for k := range m.Tasks {
		if t := &m.Tasks[k]; !shown[t.ID] && t.State != scheduler.Complete {
			pg.Others = append(pg.Others, v.task(t, ""))
		}
	}
	for _, w := range siteWords(&m.Site) {
		pg.Site = append(pg.Site, w.sentence())
	}
	for _, o := range m.Off {
		pg.Off = append(pg.Off, v.run(o.From, o.To).is(promisedDay))
	}
	if in.Wrong != "" && !pg.tells() {
		pg.Wrong = in.Wrong
	}
	return pg, nil
}

// tells says whether any form on the page says what is wrong with it.
func (pg *minePage) tells() bool {
	for k := range pg.First {
		if pg.First[k].tells() {
			return true
		}
	}
	return slices.ContainsFunc(pg.Others, func(t mineTask) bool { return t.Form.Wrong != "" })
}

// tells says whether any form of a window says what is wrong with it.
func (m *mineWindow) tells() bool {
	return m.Confirm.Wrong != "" || m.Off.Wrong != "" || slices.ContainsFunc(m.Tasks, func(t mineTask) bool { return t.Form.Wrong != "" })
}

// mineWords puts what a trade sees into words.
type mineWords struct {
	clockwork
	begins time.Time
	in     mineForm
	tasks  int // shown so far
}

func (v *mineWords) run(from, to worktime.Date) Line {
	if from == to {
		return say(v.onDate(from))
	}
	return say(v.onDate(from), " to ", v.onDate(to))
}

// window is a window of one's own; why is the name of the line that says what holds it.
func (v *mineWords) window(w *office.MyWindow, why string) mineWindow {
	address := "/mine/windows/" + url.PathEscape(w.ID)
	day := func(parts ...any) Line { return because(say(parts...), why) }
	m := mineWindow{
		ID: strings.Replace(why, "why", "w", 1), WhyID: why, Place: w.Place, Days: day(v.stay(w.From, w.Until)), Before: listed(w.Before), After: listed(w.After), Cautions: w.Cautions,
		ConfirmAt: address + "/confirm", CannotAt: address + "/cannot-come",
	}
	first := say("Not before ", day(v.on(w.Earliest)).strong(), ".")
	if w.Begun {
		first = say("You are there since ", day(v.on(w.From)).strong(), ".")
	}
	m.Says = []Line{
		first,
		say("Planned: ", day(v.stay(w.From, w.Until)).strong(), "."),
		say("Out by ", day(v.onEnd(w.OutForOthers)).strong(), ", and nobody else moves."),
		say("Out by ", day(v.onEnd(w.OutForDue)).strong(), ", and the due days still hold."),
	}
	if w.TellBy != nil && !w.Begun && w.TellBy.After(v.begins) {
		m.Says = append(m.Says, say("A change is told to you by ", day(v.on(*w.TellBy)), ": the notice that you need."))
	}
	for _, l := range w.Open {
		if l.Own {
			m.Open = append(m.Open, say("Leave open when you go: ", heavy(l.Title), ". It has to be looked at before anybody covers it."))
		} else {
			m.Open = append(m.Open, say("Do not cover yet: ", heavy(l.Title), ". It has to be looked at and released first."))
		}
	}
	m.Brings, m.Gear = listed(w.Brings), listed(w.Gear)
	for _, d := range w.Drawings {
		m.Drawings = append(m.Drawings, v.sheetLine(&scheduler.Drawing{ID: d.ID, Title: d.Title, Revision: d.Revision, On: d.On}))
	}
	m.agreed(v, w)
	m.Why = v.why(w, why)
	for _, a := range w.Away {
		m.Away = append(m.Away, say("You cannot come: ", v.run(a.From, a.To).is(promisedDay), "."))
	}
	var last worktime.Date
	for _, n := range w.Ready {
		word := ": planned for "
		if n.Met {
			word = ": done "
		} else {
			m.Missing++
			last = max(last, n.On)
		}
		m.Ready = append(m.Ready, readyEntry{Says: say(n.Title+word, day(v.onDate(n.On))), Met: n.Met})
	}
	m.Sure = sureOf(m.Ready, m.Missing, day(v.onDate(last)))
	for k := range w.Tasks {
		m.Tasks = append(m.Tasks, v.task(&w.Tasks[k], why))
	}
	m.Confirm, m.Off = v.sentBack(w.ID, "confirm"), v.sentBack(w.ID, "cannot-come")
	return m
}

// agreed says what is agreed about a window, and gives the days that can be confirmed.
func (m *mineWindow) agreed(v *mineWords, w *office.MyWindow) {
	from, until := v.civil(w.From), v.civilEnd(w.Until)
	m.From, m.Until = from.String(), until.String()
	a := w.Agreed
	if a == nil {
		return
	}
	m.Moved = a.Moved
	m.Confirmed = a.Confirmed != nil && !a.Moved
	switch {
	case a.Moved:
		m.Short = "moved, please answer"
	case m.Confirmed:
		m.Short = "confirmed"
	}
	days := v.run(a.From, a.Until).is(promisedDay)
	switch {
	case a.Moved && a.Confirmed != nil:
		m.Agreed = say("You had confirmed ", days, ". These days have moved: please answer anew.")
	case a.Moved:
		m.Agreed = say("You were promised ", days, " (issue "+a.Letter+"). These days have moved.")
	case a.Confirmed != nil:
		m.Agreed = say("You have confirmed ", days, ".")
	default:
		m.Agreed = say("Promised to you: ", days, " (issue "+a.Letter+"). Not confirmed yet.")
	}
}

// because has days lead to the line that says what holds a window of one's own, as far as
// that may be told.
func because(days Line, why string) Line {
	for k := range days {
		if days[k].Day != "" && why != "" {
			days[k].Href = "#" + why
		}
	}
	return days
}

// why is what holds a window, as one sentence.
func (v *mineWords) why(w *office.MyWindow, id string) Line {
	if w.Begun {
		return say("You have begun; what is left goes on from there.")
	}
	lines := make([]Line, len(w.Why))
	for k, r := range w.Why {
		if lines[k] = say(r.Text); r.On != nil {
			lines[k] = say(r.Text, ", until ", because(say(v.onDate(*r.On)), id))
		}
	}
	if len(lines) == 0 {
		return say("Nothing is left of it.")
	}
	return say(together(lines), ".").capital()
}

// task is a step with its forms; its days lead to what holds its window.
func (v *mineWords) task(t *office.MyTask, why string) mineTask {
	v.tasks++
	m := mineTask{
		ID: "s" + strconv.Itoa(v.tasks), Title: t.Title, Place: t.Place, Note: t.Note, State: t.State, Tells: t.Tells,
		Done: t.State == scheduler.Complete, Underway: t.State == scheduler.Underway, At: "/mine/steps/" + url.PathEscape(string(t.ID)) + "/progress",
		Form: v.sentBack(string(t.ID), "progress"),
	}
	switch {
	case m.Done:
		m.Says = say("done ", v.onEnd(t.Finish))
	case m.Underway:
		m.Says = say("started, "+v.work(t.Rest)+" left, to be done by ", v.onEnd(t.Finish))
	case t.Work == 0:
		m.Says = say(v.on(t.Start))
	case v.civil(t.Start) == v.civilEnd(t.Finish):
		m.Says = say(v.work(t.Work)+", ", v.on(t.Start))
	default:
		m.Says = say(v.work(t.Work)+", ", v.on(t.Start), " to ", v.onEnd(t.Finish))
	}
	m.Says = because(m.Says, why)
	return m
}

// sentBack is the form that was sent back, if it is this one.
func (v *mineWords) sentBack(about, kind string) form {
	if v.in.about == about && v.in.kind == kind {
		return v.in.form
	}
	return form{}
}

// mineAnswer takes an answer of a trade: in the name of its link, and back to the page.
func (p *Pages) mineAnswer(c echo.Context, in mineForm, do func(link *signin.TradeLink, e db.Edit) error) error {
	v := signin.From(c.Request().Context())
	if v.Link == nil {
		return scheduler.ErrNotFound
	}
	if in.ok() {
		e := p.edit(c, &in.form)
		e.Seen = 0 // an answer counts whatever else has changed
		err := do(v.Link, e)
		if err == nil {
			return p.leadOn(c, v.Link.Job, "/mine?said="+in.kind)
		}
		if !in.takeAnswer(err) {
			return err
		}
	} else if in.Wrong == "" {
		for _, problem := range in.problems {
			in.Wrong = problem
		}
	}
	return p.showMine(c, http.StatusUnprocessableEntity, in)
}

// takeAnswer puts what is said against an answer into its form, and is false for
// errors that have no place there. Nothing of what others did is told.
func (in *mineForm) takeAnswer(err error) bool {
	refusal, ok := errors.AsType[*scheduler.Refusal](err)
	faults, unsound := errors.AsType[scheduler.Faults](err)
	switch {
	case errors.Is(err, scheduler.ErrNotFound):
		return false
	case errors.Is(err, db.ErrStale):
		in.Wrong = "The plan is changing just now. Please send it again in a moment."
	case ok:
		in.Wrong = upper(refusal.Error()) + "."
	case unsound && len(faults) > 0:
		in.Wrong = "That cannot be kept as it is: " + faults[0].What + "."
	default:
		return false
	}
	return true
}

func (p *Pages) confirmMine(c echo.Context) error {
	in := mineForm{c.Param("window"), "confirm", readForm(c, "from", "until")}
	seen := office.Days{From: in.day("from"), Until: in.day("until")}
	return p.mineAnswer(c, in, func(link *signin.TradeLink, e db.Edit) error {
		_, err := p.office.Confirm(c.Request().Context(), link.Job, office.OwnWord(link.Trade), in.about, &seen, e)
		return err
	})
}

func (p *Pages) cannotCome(c echo.Context) error {
	in := mineForm{c.Param("window"), "cannot-come", readForm(c, "from", "to", "note")}
	a := scheduler.Answer{From: in.day("from"), To: in.day("from"), Note: in.Value("note")}
	if in.Value("to") != "" {
		a.To = in.day("to")
	}
	return p.mineAnswer(c, in, func(link *signin.TradeLink, e db.Edit) error {
		_, err := p.office.CannotCome(c.Request().Context(), link.Job, office.OwnWord(link.Trade), in.about, a, e)
		return err
	})
}

// day reads a day that is needed.
func (f *form) day(field string) worktime.Date {
	d, err := worktime.ParseDate(f.values[field])
	switch {
	case f.values[field] == "":
		f.wrong(field, "Give the day.")
	case err != nil:
		f.wrong(field, upper(err.Error())+".")
	}
	return d
}

// tellProgress records what a button says: started, done, or part done with what is
// left. Without a day it is now.
func (p *Pages) tellProgress(c echo.Context) error {
	in := mineForm{c.Param("step"), "progress", readForm(c, "what", "day", "left", "unit", "note")}
	return p.mineAnswer(c, in, func(link *signin.TradeLink, e db.Edit) error {
		sheet, err := p.office.Sheet(c.Request().Context(), link.Job, nil)
		if err != nil {
			return err
		}
		f, err := in.progress(p, sheet)
		if err != nil {
			return err
		}
		_, err = p.office.Progress(c.Request().Context(), link.Job, link.Trade, f, e)
		return err
	})
}

// left is what is left of a step, in the kind of time that it takes.
func (in *mineForm) left(elapsed bool) (worktime.Span, error) {
	amount, unit := in.Value("left"), in.Value("unit")
	if amount == "1" {
		unit = strings.TrimSuffix(unit, "s")
	}
	if elapsed {
		unit = "elapsed " + unit
	}
	left, err := worktime.ParseSpan(amount + " " + unit)
	if err != nil {
		return left, &scheduler.Refusal{Kind: scheduler.ErrIncomplete, Field: "left", What: "it does not say how much is left", Mend: "write a whole number of days or hours"}
	}
	return left, nil
}

func (in *mineForm) progress(p *Pages, sheet *office.Sheet) (scheduler.Fact, error) {
	f := scheduler.Fact{Step: scheduler.ID(in.about), Note: in.Value("note")}
	when, err := p.office.Now(sheet.Job)
	if err != nil {
		return f, err
	}
	if in.Value("day") != "" {
		day, err := worktime.ParseDate(in.Value("day"))
		if err != nil {
			return f, &scheduler.Refusal{Kind: scheduler.ErrImpossible, Field: "day", What: err.Error()}
		}
		if day != when.Day {
			when = worktime.When{Day: day}
		}
	}
	switch in.Value("what") {
	case "started":
		f.Started = &when
	case "done":
		f.Done = &when
	case "part":
		st := sheet.Plan.FindStep(f.Step)
		left, err := in.left(st != nil && st.Elapsed)
		if err != nil {
			return f, err
		}
		f.Remaining = &left
		if known := sheet.Job.FindFact(f.Step); known == nil || known.Started == nil {
			f.Started = &when
		}
	default:
		return f, &scheduler.Refusal{Kind: scheduler.ErrIncomplete, Field: "what", What: "it does not say whether it is started, done or part done"}
	}
	return f, nil
}
