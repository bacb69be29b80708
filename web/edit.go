package web

import (
	"cmp"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// editPage is the form of one thing of a job, new or there already.
type editPage struct {
	Frame
	Says     string
	Action   string
	Revision int64
	Was      string // tells whether the thing still is what the form was made from
	New      bool
	AskName  bool
	Name     string // that others know it by
	Naming   string // what was typed as a name
	NameBad  string
	Wrong    []editFault
	Bad      bool
	Fields   []editField
	Steps    template.HTML
	Parts    []editPart
	Once     bool // it cannot be taken out
	Back     Part
}

// editFault is something wrong with the changed job, not at a field of the form.
type editFault struct {
	Says string
	Href string // the form of the thing that it is about, empty: none
}

// editPart is the things within a thing.
type editPart struct {
	Title, Add string
	All        []editEntry
}

func (editPage) name() string { return "edit" }

// subject is what a form is about: a kind, and where in the job.
type subject struct {
	kind   *kindOf
	path   []string // in the job; the last is "" for a new thing
	within *scheduler.Typical
	back   string // below the job
	here   string // the address of the form, below the job
}

func (s *subject) isNew() bool { return len(s.path) > 0 && s.path[len(s.path)-1] == "" }

// fields is what the form asks for.
func (s *subject) fields() []asked {
	if s.isNew() {
		return asks(s.kind.fields, s.kind.atFirst)
	}
	return s.kind.fields
}

// newThing stands in the address for a thing that is not there yet. No name can be it.
const newThing = "+"

// subjectOf finds what an address is about. Kinds that the designer may change have
// addresses of their own, and every kind only the one.
func (b *board) subjectOf(c echo.Context, design bool) (*subject, error) {
	section, thing := c.Param("kind"), c.Param("thing")
	s := &subject{kind: findKind(kinds, section), back: "/edit/" + section}
	if section == siteKind.section {
		s.kind, s.back = &siteKind, "/edit"
	}
	if s.kind == nil || s.kind.design != design {
		return nil, scheduler.ErrNotFound
	}
	s.here = s.kind.address(thing)
	if s.kind == &siteKind {
		if thing != "itself" {
			return nil, scheduler.ErrNotFound
		}
		return s, nil
	}
	s.path = []string{section, strings.TrimPrefix(thing, newThing)}
	if part := c.Param("part"); part != "" {
		whole := s.kind
		s.back = s.here
		s.kind = findKind(whole.parts, part)
		if s.kind == nil || s.isNew() {
			return nil, scheduler.ErrNotFound
		}
		s.path = append(s.path, part, strings.TrimPrefix(c.Param("inner"), newThing))
		s.here += "/" + part + "/" + c.Param("inner")
		for k := range b.Job.Typicals {
			if b.Job.Typicals[k].ID == scheduler.ID(thing) {
				s.within = &b.Job.Typicals[k]
			}
		}
		if s.within == nil {
			return nil, scheduler.ErrNotFound
		}
	}
	return s, nil
}

// address is where a thing of the kind is changed, below the job.
func (k *kindOf) address(thing string) string {
	if k.design {
		return "/design/" + k.section + "/" + thing
	}
	return "/edit/" + k.section + "/" + thing
}

func (p *Pages) editThing(c echo.Context) error   { return p.showEdit(c, false) }
func (p *Pages) designThing(c echo.Context) error { return p.showEdit(c, true) }
func (p *Pages) keepThing(c echo.Context) error   { return p.keep(c, false) }
func (p *Pages) keepDesign(c echo.Context) error  { return p.keep(c, true) }

func (p *Pages) showEdit(c echo.Context, design bool) error {
	b, s, thing, err := p.boardAndThing(c, design)
	if err != nil {
		return err
	}
	pg := b.newEditPage(s, thing, &shownThing{})
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

func (p *Pages) boardAndThing(c echo.Context, design bool) (*board, *subject, jobfile.Value, error) {
	b, err := p.board(c)
	if err != nil {
		return nil, nil, jobfile.Value{}, err
	}
	s, err := b.subjectOf(c, design)
	if err != nil {
		return nil, nil, jobfile.Value{}, err
	}
	thing, there := jobfile.Find(b.Job, s.path...)
	if !there && !s.isNew() && c.Request().Method == http.MethodGet {
		return nil, nil, jobfile.Value{}, scheduler.ErrNotFound
	}
	if !there {
		thing.Is = jobfile.Keys
	}
	return b, s, thing, nil
}

func (b *board) newEditPage(s *subject, thing jobfile.Value, shown *shownThing) editPage {
	shown.stock = b.stock(s.within)
	pg := editPage{
		Frame: b.frame("", "/edit"), Says: s.kind.says, Action: b.link(s.here), Revision: b.Revision, New: s.isNew(),
		Once: len(s.path) == 0, Fields: shown.fields(s.fields(), thing), Steps: shown.stock.stepOptions(),
		Back: Part{Text: s.kind.many, Href: b.link(s.back)},
	}
	title := thingTitle(thing)
	switch {
	case pg.Once:
		pg.Title, pg.Was, pg.Back.Text = s.kind.many, markOf(s, thing), "The job"
	case pg.New:
		pg.Title, pg.AskName = "Add "+s.kind.one, !s.kind.unnamed
	default:
		pg.Title, pg.Was = cmp.Or(title, "Change "+s.kind.one), thing.Mark()
		if !s.kind.unnamed {
			pg.Name = s.path[len(s.path)-1]
		}
	}
	if s.within != nil {
		pg.Back.Text = s.within.Title
	}
	if !pg.New {
		for k := range s.kind.parts {
			part := &s.kind.parts[k]
			at := s.here + "/" + part.section + "/"
			e := editPart{Title: part.many, Add: b.link(at + newThing)}
			inner, _ := thing.Find(part.section)
			e.All = b.entries(inner, at)
			pg.Parts = append(pg.Parts, e)
		}
	}
	return pg
}

// markOf is the mark of what a form asks for: of the job itself only that.
func markOf(s *subject, thing jobfile.Value) string {
	if len(s.path) > 0 {
		return thing.Mark()
	}
	var own jobfile.Value
	for k := range s.kind.fields {
		key, _, _ := strings.Cut(s.kind.fields[k].key, ".")
		if v, ok := thing.Find(key); ok {
			own.Set(key, v)
		}
	}
	return own.Mark()
}

func thingTitle(v jobfile.Value) string {
	for _, key := range []string{"title", "name", "why"} {
		if w, ok := v.Find(key); ok && w.Word != "" {
			return w.Word
		}
	}
	return ""
}

// nameField is the field for the short name of a new thing.
const nameField = "short-name"

// errMeanwhile says that a thing is no longer what the form was made from.
var errMeanwhile = errors.New("somebody has changed this since you opened it")

// keep puts what was typed into the job, or takes the thing out.
func (p *Pages) keep(c echo.Context, design bool) error {
	b, s, thing, err := p.boardAndThing(c, design)
	if err != nil {
		return err
	}
	values, err := c.FormParams()
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the form cannot be read")
	}
	next, t := readThing(values, s.fields(), thing)
	do, more := values.Get("do"), ""
	if m, ok := strings.CutPrefix(do, "more-"); ok {
		more = m
	}
	in := form{}
	var path []string
	pg := func(m jobfile.Misfits) editPage {
		shown := &shownThing{typed: t, problems: map[string]string{}, more: more}
		wrong, nameBad := b.sort(m, s, t, shown.problems)
		for _, name := range t.long {
			shown.problems[name] = "That is too long."
		}
		pg := b.newEditPage(s, thing, shown)
		pg.Wrong, pg.NameBad, pg.Naming = wrong, nameBad, values.Get(nameField)
		pg.Bad = len(m) > 0 || len(t.long) > 0
		return pg
	}
	switch {
	case more != "":
		return p.render(c, http.StatusOK, pg(nil))
	case len(t.long) > 0:
		return p.render(c, http.StatusUnprocessableEntity, pg(nil))
	}
	put := &next
	if do == "remove" && len(s.path) > 0 {
		put = nil
	}
	change := func(j *scheduler.Job) error {
		var err error
		path, err = putThing(j, s, put, values.Get("was"), strings.TrimSpace(values.Get(nameField)))
		return err
	}
	to := s.back
	if s.isNew() && len(s.kind.parts) > 0 && put != nil {
		to = "" // its own page, where its parts are added
	}
	err = p.applyTo(c, b, &in, change, func() string {
		if to == "" && len(path) == 2 {
			return s.kind.address(path[1])
		}
		return cmp.Or(to, s.back)
	}, map[bool]string{true: "kept", false: "out"}[put != nil])
	var m jobfile.Misfits
	switch {
	case errors.Is(err, errMeanwhile):
		again := pg(nil)
		again.Bad = true
		again.Wrong = []editFault{{Says: upper(err.Error()) + ". What you typed is still here; if it holds, send it again."}}
		return p.render(c, http.StatusUnprocessableEntity, again)
	case errors.As(err, &m):
		return p.render(c, http.StatusUnprocessableEntity, pg(m))
	case errors.Is(err, errAgain):
		again := pg(nil)
		again.Bad, again.Wrong = true, []editFault{{Says: in.Wrong}}
		return p.render(c, http.StatusUnprocessableEntity, again)
	}
	return err
}

// putThing changes a job; it says under which path the thing is then.
func putThing(j *scheduler.Job, s *subject, thing *jobfile.Value, was, name string) ([]string, error) {
	path := slices.Clone(s.path)
	now, there := jobfile.Find(j, path...)
	switch {
	case s.isNew() && !s.kind.unnamed:
		taken := func(name string) bool {
			_, ok := jobfile.Find(j, append(slices.Clone(path[:len(path)-1]), name)...)
			return ok
		}
		if name != "" && taken(name) {
			return nil, jobfile.Misfits{{At: []string{""}, Own: true, Fault: scheduler.Fault{What: "There is one called " + name + " already", Mend: "take another name"}}}
		}
		if name == "" {
			name = shortName(thingTitle(*thing), func(n string) bool { return taken(n) || inUse(j, s, n) })
		}
		path[len(path)-1] = name
	case s.isNew():
	case !there, markOf(s, now) != was:
		return nil, errMeanwhile
	}
	next, err := jobfile.Put(j, thing, path...)
	if err != nil {
		return nil, err
	}
	*j = *next
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
					e.Href = b.link(k.address(url.PathEscape(f.At[1])))
				}
			}
			rest = append(rest, e)
		}
	}
	return rest, name
}

// changeOf is a link to the form of a thing, empty where the reader may not send it.
func (b *board) changeOf(words, section string, path ...string) Part {
	kind := findKind(kinds, section)
	if !b.mayChange(kind) {
		return Part{}
	}
	return Part{Text: words, Href: b.link(kind.address(strings.Join(path, "/")))}
}

// editOf is a link to the form in which a step is changed.
func (b *board) editOf(step scheduler.ID) Part {
	if section := sectionOf(b.Job.Tasks, b.Job.Holds, step); section != "" {
		return b.changeOf("Change what is said of it", section, string(step))
	}
	whole, local, ok := strings.Cut(string(step), ".")
	if !ok {
		return Part{}
	}
	for k := range b.Job.Orders {
		if string(b.Job.Orders[k].ID) == whole {
			return b.changeOf("Change the order", "orders", whole)
		}
	}
	for k := range b.Job.Typicals {
		t := &b.Job.Typicals[k]
		if !slices.Contains(t.Places, scheduler.ID(whole)) {
			continue
		}
		if section := sectionOf(t.Tasks, t.Holds, scheduler.ID(local)); section != "" {
			return b.changeOf("Change it at all places of "+t.Title, "typicals", string(t.ID), section, local)
		}
	}
	return Part{}
}

// sectionOf is where a step of that name is written.
func sectionOf(tasks []scheduler.Task, holds []scheduler.Hold, id scheduler.ID) string {
	switch {
	case slices.ContainsFunc(tasks, func(t scheduler.Task) bool { return t.ID == id }):
		return "tasks"
	case slices.ContainsFunc(holds, func(h scheduler.Hold) bool { return h.ID == id }):
		return "holds"
	}
	return ""
}
