package office

import (
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Mine is all that a trade sees of a job by its private link. Of others it has the
// names of the trades before and after it in a place, and the titles and days of the
// steps that it waits for: no persons, no notes, no alerts, no windows of others. API
// and pages show nothing of a job to a trade but what is in here.
type Mine struct {
	Job     string // the job's title
	Zone    string
	Trade   scheduler.ID
	Title   string // the trade's
	Windows []MyWindow
	Tasks   []MyTask    // all of its steps, windows or not, the earliest first
	Off     []MyAbsence // days on which it does not come
	Site    scheduler.Site
}

// MyWindow is a window of access of one's own.
type MyWindow struct {
	ID           string              `json:"id"`
	Place        string              `json:"place"` // its title
	Earliest     time.Time           `json:"earliest" doc:"The earliest you can be in."`
	From         time.Time           `json:"from"`
	Until        time.Time           `json:"until"`
	OutForOthers time.Time           `json:"out_for_others" doc:"Out by then, nobody else moves."`
	OutForDue    time.Time           `json:"out_for_due" doc:"Out by then, the due days hold."`
	TellBy       *time.Time          `json:"tell_by,omitempty"` // nil: the trade needs no notice
	Begun        bool                `json:"begun"`
	Tasks        []MyTask            `json:"tasks" nullable:"false"`
	Ready        []MyNeed            `json:"ready" nullable:"false" doc:"What must come first."`
	Why          []MyReason          `json:"why" nullable:"false" doc:"What holds its first day where it is."`
	Before       []string            `json:"before" nullable:"false" doc:"Trades that are done before you in this place."`
	After        []string            `json:"after" nullable:"false"`
	Cautions     []scheduler.Caution `json:"cautions" nullable:"false"`
	Open         []MyLayer           `json:"open" nullable:"false" doc:"What somebody has to look at before it is covered, and has not yet."`
	Brings       []string            `json:"brings" nullable:"false" doc:"What the layers that you put there are made of."`
	Gear         []string            `json:"gear" nullable:"false" doc:"What is kept for you while you work."`
	Drawings     []MyDrawing         `json:"drawings" nullable:"false" doc:"By which your work is done."`
	Agreed       *MyPromise          `json:"agreed,omitempty"`
	Away         []MyAbsence         `json:"away" nullable:"false" doc:"Days on which you said that you cannot come."`
}

// MyLayer is a layer that nobody may cover yet, by the title of the step that puts it
// there: one of one's own, or one that a step of one's own waits for.
type MyLayer struct {
	Title string `json:"title"`
	Own   bool   `json:"own" doc:"You put it there, and somebody else covers it; if not, you cover it."`
}

// MyDrawing is a sheet by which work of one's own is done.
type MyDrawing struct {
	ID       scheduler.ID   `json:"id"`
	Title    string         `json:"title"`
	Revision string         `json:"revision,omitempty" doc:"The one that counts; left out: none is out yet."`
	On       *worktime.Date `json:"on,omitempty" doc:"The day on which it was sent out."`
}

// MyTask is a step of one's own.
type MyTask struct {
	ID       scheduler.ID        `json:"id"`
	Kind     scheduler.StepKind  `json:"kind"`
	Title    string              `json:"title"`
	Place    string              `json:"place,omitempty"`
	State    scheduler.State     `json:"state"`
	Start    time.Time           `json:"start"`
	Finish   time.Time           `json:"finish"`
	Work     int64               `json:"work_minutes"` // minutes
	Rest     int64               `json:"rest_minutes"`
	Elapsed  bool                `json:"elapsed,omitempty"`
	Cautions []scheduler.Caution `json:"cautions" nullable:"false"`
	Tells    bool                `json:"tells" doc:"You say how far it is. Hold points are released by persons."`
	Started  *worktime.When      `json:"started,omitempty"`
	Done     *worktime.When      `json:"done,omitempty"`
	Left     *worktime.Span      `json:"remaining,omitempty"`
	Note     string              `json:"note,omitempty" doc:"Your own."`
}

// MyNeed is a step of somebody's that must come first.
type MyNeed struct {
	Title string        `json:"title"`
	On    worktime.Date `json:"on" doc:"The day on which it is done, as planned or as recorded."`
	Met   bool          `json:"met"`
}

// MyPromise is what is agreed about a window.
type MyPromise struct {
	From      worktime.Date  `json:"from"`
	Until     worktime.Date  `json:"until"`
	Letter    string         `json:"letter,omitempty" doc:"The issue it stems from."`
	Confirmed *worktime.Date `json:"confirmed,omitempty"`
	Moved     bool           `json:"moved" doc:"The plan has it on other days now."`
}

// MyAbsence is days on which the trade has said that it cannot come.
type MyAbsence struct {
	From worktime.Date `json:"from"`
	To   worktime.Date `json:"to" doc:"The last day."`
}

// Mine is what a trade of the job sees of it; scheduler.ErrNotFound where the job has
// no such trade any more.
func (s *Sheet) Mine(trade scheduler.ID) (*Mine, error) {
	at := slices.IndexFunc(s.Job.Trades, func(t scheduler.Trade) bool { return t.ID == trade })
	if at < 0 {
		return nil, scheduler.ErrNotFound
	}
	t := &s.Job.Trades[at]
	v := &mineView{Sheet: s, trade: t, steps: make(map[scheduler.ID]*scheduler.PlannedStep, len(s.Plan.Steps))}
	for k := range s.Plan.Steps {
		v.steps[s.Plan.Steps[k].ID] = &s.Plan.Steps[k]
	}
	v.facts = make(map[scheduler.ID]*scheduler.Fact, len(s.Job.Facts))
	for k := range s.Job.Facts {
		v.facts[s.Job.Facts[k].Step] = &s.Job.Facts[k]
	}
	m := &Mine{Site: s.Job.Site, Job: s.Job.Title, Zone: s.Job.Zone, Trade: trade, Title: t.Title, Windows: make([]MyWindow, 0), Tasks: make([]MyTask, 0), Off: make([]MyAbsence, 0)}
	for k := range s.Plan.Windows {
		if w := &s.Plan.Windows[k]; w.Trade == trade {
			m.Windows = append(m.Windows, v.window(w))
		}
	}
	for k := range s.Plan.Steps {
		if st := &s.Plan.Steps[k]; s.isOf(st.ID, trade) {
			m.Tasks = append(m.Tasks, v.task(st))
		}
	}
	slices.SortStableFunc(m.Tasks, func(a, b MyTask) int { return a.Start.Compare(b.Start) })
	for _, c := range t.Off {
		if c.To >= s.AsOf {
			m.Off = append(m.Off, MyAbsence{c.From, c.To})
		}
	}
	return m, nil
}

// Next is the next window that has not begun, nil where none lies ahead.
func (m *Mine) Next() *MyWindow {
	for k := range m.Windows {
		if !m.Windows[k].Begun {
			return &m.Windows[k]
		}
	}
	return nil
}

// isOf says whether a step is a trade's own: its crew does it, or it is a leg of an
// order whose turn is the trade's.
func (s *Sheet) isOf(step, trade scheduler.ID) bool {
	k, ok := s.Network.Find(step)
	if !ok {
		return false
	}
	st := &s.Network.Steps[k]
	return slices.Contains(st.Trades, trade) || st.Kind == scheduler.StageStep && st.By == trade
}

// findWindow is a window of the trade's own, by its name; of any trade, where none is
// named.
func (s *Sheet) findWindow(trade scheduler.ID, id string) (*scheduler.Window, error) {
	for k := range s.Plan.Windows {
		if w := &s.Plan.Windows[k]; w.ID == id && (trade == "" || w.Trade == trade) {
			return w, nil
		}
	}
	return nil, scheduler.ErrNotFound
}

// mineView fills in what a trade sees.
type mineView struct {
	*Sheet
	trade *scheduler.Trade
	steps map[scheduler.ID]*scheduler.PlannedStep
	facts map[scheduler.ID]*scheduler.Fact
}

func (v *mineView) window(w *scheduler.Window) MyWindow {
	m := MyWindow{
		ID: w.ID, Place: v.place(w.Place), Earliest: w.Earliest, From: w.From, Until: w.Until,
		OutForOthers: w.OutForOthers, OutForDue: w.OutForDue, Before: v.names(w.Before), After: v.names(w.After),
	}
	if !v.trade.Notice.Zero() {
		tell := w.TellBy
		m.TellBy = &tell
	}
	m.Tasks, m.Ready, m.Cautions = make([]MyTask, 0, len(w.Steps)), make([]MyNeed, 0), make([]scheduler.Caution, 0)
	needed := map[scheduler.ID]bool{}
	for _, id := range w.Steps {
		st := v.steps[id]
		if st == nil {
			continue
		}
		m.Tasks = append(m.Tasks, v.task(st))
		m.Begun = m.Begun || st.State == scheduler.Underway || st.State == scheduler.Complete
		for _, c := range st.Cautions {
			if !slices.Contains(m.Cautions, c) {
				m.Cautions = append(m.Cautions, c)
			}
		}
		for _, n := range st.Needs {
			if first := v.steps[n.Step]; first != nil && !needed[n.Step] && !slices.Contains(w.Steps, n.Step) && st.State != scheduler.Complete {
				needed[n.Step] = true
				m.Ready = append(m.Ready, MyNeed{Title: first.Title, On: lastDay(first.Finish), Met: n.Met})
			}
		}
	}
	m.Agreed, m.Away, m.Why = v.agreed(w), v.away(w), v.why(w)
	m.Open, m.Brings, m.Gear, m.Drawings = v.open(w), v.brings(w), v.gear(w), v.builtBy(w)
	return m
}

func (v *mineView) task(st *scheduler.PlannedStep) MyTask {
	m := MyTask{
		ID: st.ID, Kind: st.Kind, Title: st.Title, State: st.State, Start: st.Start, Finish: st.Finish, Work: st.Work, Rest: st.Rest,
		Elapsed: st.Elapsed, Cautions: append(make([]scheduler.Caution, 0), st.Cautions...), Tells: st.Kind != scheduler.HoldStep,
	}
	if len(st.Places) > 0 {
		m.Place = v.place(st.Places[0])
	}
	if f := v.facts[st.ID]; f != nil && m.Tells {
		m.Started, m.Done, m.Left = f.Started, f.Done, f.Remaining
		if f.By == v.trade.ID { // what others wrote of it is theirs
			m.Note = f.Note
		}
	}
	return m
}

func (v *mineView) agreed(w *scheduler.Window) *MyPromise {
	for k := range v.Job.Promises {
		if p := &v.Job.Promises[k]; p.Of(w) {
			now := scheduler.StandingOf(v.find, p.Trade, p.Place, p.Steps)
			return &MyPromise{From: p.From, Until: p.Until, Letter: p.Letter, Confirmed: p.Confirmed, Moved: now.Moved(p.From, p.Until)}
		}
	}
	return nil
}

func (v *mineView) away(w *scheduler.Window) []MyAbsence {
	all := make([]MyAbsence, 0)
	for k := range v.Job.Answers {
		a := &v.Job.Answers[k]
		if a.Trade != w.Trade || a.Place != w.Place || !slices.ContainsFunc(a.Steps, func(id scheduler.ID) bool { return slices.Contains(w.Steps, id) }) {
			continue
		}
		if first, last, ok := v.Job.DaysOff(a); ok && last >= v.AsOf {
			all = append(all, MyAbsence{first, last})
		}
	}
	return all
}

func (v *mineView) find(id scheduler.ID) *scheduler.PlannedStep { return v.steps[id] }

func (v *mineView) place(id scheduler.ID) string {
	for k := range v.Job.Places {
		if v.Job.Places[k].ID == id {
			return v.Job.Places[k].Title
		}
	}
	return ""
}

func (v *mineView) names(trades []scheduler.ID) []string {
	names := make([]string, 0, len(trades))
	for _, id := range trades {
		for k := range v.Job.Trades {
			if v.Job.Trades[k].ID == id {
				names = append(names, v.Job.Trades[k].Title)
			}
		}
	}
	return names
}

// lastDay is the civil day by whose end a time is reached.
func lastDay(t time.Time) worktime.Date { return worktime.DateOf(t.Add(-time.Minute)) }
