package web

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// nameField is the field for the short name of a new thing.
const nameField = "short-name"

// errMeanwhile says that a thing is no longer what the form was made from.
var errMeanwhile = errors.New("somebody has changed this since you opened it")

// sentThing is the form of a thing as somebody sent it.
type sentThing struct {
	*board
	s      *subject
	thing  jobfile.Value // as it is
	put    *jobfile.Value
	typed  *typed
	values url.Values
	more   string // the heading under which more lines are asked for
	moved  rowMove
	moves  bool // lines change places, and nothing is kept
}

// readSent reads a form that was sent. What is to be put is nil where the thing is to go.
func readSent(c echo.Context, b *board, s *subject, thing jobfile.Value) (*sentThing, error) {
	values, err := c.FormParams()
	if err != nil {
		return nil, echo.NewHTTPError(http.StatusBadRequest, "the form cannot be read")
	}
	moved, moves := rowMoveOf(values.Get("do"))
	if moves {
		values, moved = moved.apply(values)
	}
	next, t := readThing(values, s.fields(), thing)
	f := &sentThing{board: b, s: s, thing: thing, put: &next, typed: t, values: values, moved: moved, moves: moves}
	f.more, _ = strings.CutPrefix(values.Get("do"), "more-")
	if f.more == values.Get("do") {
		f.more = ""
	}
	if values.Get("do") == "remove" && len(s.path) > 0 {
		f.put = nil
	}
	return f, nil
}

// naming is the name that was typed for a new thing.
func (f *sentThing) naming() string { return strings.TrimSpace(f.values.Get(nameField)) }

// page is the form again, with what stands against it.
func (f *sentThing) page(m jobfile.Misfits, also ...string) editPage {
	shown := &shownThing{typed: f.typed, problems: map[string]string{}, more: f.more, moved: f.moved}
	wrong, nameBad := f.sort(m, f.s, f.typed, shown.problems)
	for _, name := range f.typed.long {
		shown.problems[name] = "That is too long."
	}
	pg := f.newEditPage(f.s, f.thing, shown)
	pg.Wrong, pg.NameBad, pg.Naming = wrong, nameBad, f.values.Get(nameField)
	for _, says := range also {
		pg.Wrong = append(pg.Wrong, editFault{Says: says})
	}
	pg.Reranged = f.moves
	pg.Bad = len(m) > 0 || len(f.typed.long) > 0 || len(also) > 0
	return pg
}

// keep puts what was typed into the job, or takes the thing out; or tries that.
func (p *Pages) keep(c echo.Context, design bool) error {
	b, s, thing, err := p.boardAndThing(c, design)
	if err != nil {
		return p.orToTrial(c, err)
	}
	switch do := c.FormValue("do"); {
	case b.trying != nil || s.isNew():
	case (do == moveUp || do == moveDown) && s.kind.order != "":
		return p.moveThing(c, b, s, do)
	case do == "rename" && s.kind.named != "":
		return p.rename(c, b, s, thing)
	}
	f, err := readSent(c, b, s, thing)
	if err != nil {
		return err
	}
	in := form{}
	switch {
	case f.more != "" || f.moves:
		return p.renderEdit(c, http.StatusOK, b, f.page(nil))
	case len(f.typed.long) > 0:
		return p.renderEdit(c, http.StatusUnprocessableEntity, b, f.page(nil))
	case b.trying != nil || strings.HasPrefix(f.values.Get("do"), "try"):
		err = p.tryThing(c, f, &in)
	default:
		err = p.keepSent(c, f, &in)
	}
	var m jobfile.Misfits
	var again editPage
	switch {
	case errors.Is(err, errMeanwhile):
		again = f.page(nil, upper(err.Error())+". What you typed is still here; if it holds, send it again.")
	case errors.As(err, &m):
		again = f.page(m)
	case errors.Is(err, errAgain):
		again = f.page(nil, in.Wrong)
	default:
		return err
	}
	return p.renderEdit(c, http.StatusUnprocessableEntity, b, again)
}

// keepSent makes the change in the job.
func (p *Pages) keepSent(c echo.Context, f *sentThing, in *form) error {
	var path []string
	change := func(j *scheduler.Job) error {
		var err error
		path, err = putThing(j, f.s, f.put, f.values.Get("was"), f.naming())
		return err
	}
	to := f.s.back
	if f.s.isNew() && len(f.s.kind.parts) > 0 && f.put != nil {
		to = "" // its own page, where its parts are added
	}
	return p.applyTo(c, f.board, in, change, func() string {
		if to == "" && len(path) == 2 {
			return f.address(f.s.kind, path[1])
		}
		return cmp.Or(to, f.s.back)
	}, map[bool]string{true: "kept", false: "out"}[f.put != nil])
}

// putThing changes a job; it says under which path the thing is then.
func putThing(j *scheduler.Job, s *subject, thing *jobfile.Value, was, name string) ([]string, error) {
	path, err := pathOf(j, s, thing, name)
	if err != nil {
		return nil, err
	}
	if now, there := jobfile.Find(j, path...); !s.isNew() && (!there || markOf(s, now) != was) {
		return nil, errMeanwhile
	}
	next, err := jobfile.Put(j, thing, path...)
	if err != nil {
		return nil, err
	}
	*j = *next
	return path, nil
}

// pathOf is the path of a thing that is put into a job: a new one is named.
func pathOf(j *scheduler.Job, s *subject, thing *jobfile.Value, name string) ([]string, error) {
	path := slices.Clone(s.path)
	if s.isNew() && !s.kind.unnamed {
		taken := func(name string) bool {
			_, ok := jobfile.Find(j, append(slices.Clone(path[:len(path)-1]), name)...)
			return ok
		}
		if name != "" && taken(name) {
			return nil, jobfile.Misfits{{At: []string{""}, Own: true, Fault: scheduler.Fault{What: "There is one called " + name + " already", Mend: "take another name"}}}
		}
		if name == "" {
			name = shortName(thing.Title(), func(n string) bool { return taken(n) || inUse(j, s, n) })
		}
		path[len(path)-1] = name
	}
	return path, nil
}

// inUse says whether a step has the name already: tasks and hold points share theirs.
func inUse(j *scheduler.Job, s *subject, name string) bool {
	if s.kind.section != "tasks" && s.kind.section != "holds" {
		return false
	}
	for _, section := range []string{"tasks", "holds", "orders", "typicals"} {
		at := append(slices.Clone(s.path[:len(s.path)-2]), section, name)
		if _, ok := jobfile.Find(j, at...); ok {
			return true
		}
	}
	return false
}

// sort puts faults at their fields; the rest is told at the top, with links to what it
// is about.
func (b *board) sort(m jobfile.Misfits, s *subject, t *typed, problems map[string]string) (rest []editFault, name string) {
	for _, f := range m {
		says := upper(f.What)
		if f.Mend != "" {
			says += "; " + f.Mend
		}
		says = strings.TrimSuffix(says, ".") + "."
		switch field := t.field(f.At); {
		case f.Own && field != "":
			problems[field] = strings.TrimSpace(problems[field] + " " + says)
		case f.Own && len(s.path) > 0 && (len(f.At) == 0 || f.At[0] == "") && s.isNew():
			name = says
		default:
			e := editFault{Says: says}
			if !f.Own && len(f.At) >= 2 {
				if k := findKind(kinds, f.At[0]); k != nil && !k.unnamed {
					e.Href = b.link(b.address(k, url.PathEscape(f.At[1])))
				}
			}
			rest = append(rest, e)
		}
	}
	return rest, name
}
