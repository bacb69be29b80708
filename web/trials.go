package web

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// trialsPage is all trials of a job.
type trialsPage struct {
	Frame
	Form   form
	Action string // makes one, empty: the reader may not
	Open   []trialEntry
	Past   []trialEntry // adopted
}

type trialEntry struct {
	Trial   Part
	Made    Line
	Says    string // its changes in one line
	Adopted Line   // in which revision, empty: it is open
}

func (trialsPage) name() string { return "trials" }

func (p *Pages) trials(c echo.Context) error { return p.showTrials(c, http.StatusOK, form{}) }

func (p *Pages) showTrials(c echo.Context, status int, in form) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	all, err := p.office.Trials().Trials(c.Request().Context(), b.Job.ID)
	if err != nil {
		return err
	}
	pg := trialsPage{Frame: b.frame("Trials", "/trials"), Form: in}
	if b.may("/trials") {
		pg.Action = b.base + "/trials"
	}
	for k := range all {
		t := &all[k]
		e := trialEntry{
			Trial: Part{Text: t.Title, Href: b.trialLink(t.Number)}, Made: say("made by "+b.who(scheduler.ID(t.MadeBy))+", ", b.on(t.MadeAt).is(recordedDay)),
			Says: trial.Summary(b.Job, t.Ops),
		}
		if t.Adopted == nil {
			pg.Open = append(pg.Open, e)
			continue
		}
		e.Adopted = b.inRevision(*t.Adopted)
		pg.Past = append(pg.Past, e)
	}
	pg.say(c, b)
	return p.render(c, status, pg)
}

// trialPath is where a trial is, below its job.
func trialPath(number int) string { return "/trials/" + strconv.Itoa(number) }

func (b *board) trialLink(number int) string { return b.base + trialPath(number) }

// inRevision is a revision with a link to what it changed.
func (b *board) inRevision(revision int64) Line {
	text := strconv.FormatInt(revision, 10)
	return say(Part{Text: "revision " + text, Href: b.base + "/history?before=" + strconv.FormatInt(revision+1, 10) + "#r" + text})
}

// makeTrial begins one and shows it.
func (p *Pages) makeTrial(c echo.Context) error {
	in := readForm(c, "title")
	switch title := in.Value("title"); {
	case title == "":
		in.wrong("title", "Say in a few words what is tried.")
	case len([]rune(title)) > mostTitle:
		in.wrong("title", "Say it in fewer words.")
	}
	if !in.ok() {
		return p.showTrials(c, http.StatusUnprocessableEntity, in)
	}
	t, err := p.office.MakeTrial(c.Request().Context(), scheduler.ID(c.Param("job")), in.Value("title"), nil, p.edit(c, &in))
	if err != nil {
		if again := in.trialRefused(err); again != nil {
			return again
		}
		return p.showTrials(c, http.StatusUnprocessableEntity, in)
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+c.Param("job")+trialPath(t.Number))
}

// mostTitle is how long the name of a trial may be, in letters.
const mostTitle = 100

// trialOf is the trial in the address.
func (p *Pages) trialOf(c echo.Context) (db.Trial, error) {
	number, err := strconv.Atoi(c.Param("trial"))
	if err != nil || number < 1 {
		return db.Trial{}, fmt.Errorf("trial %q: %w", c.Param("trial"), scheduler.ErrNotFound)
	}
	return p.office.Trials().Trial(c.Request().Context(), scheduler.ID(c.Param("job")), number)
}
