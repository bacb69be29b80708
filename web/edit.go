package web

import (
	"cmp"
	"html/template"
	"net/http"
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
	Renaming *renamePart
	Reranged bool   // lines have changed places and are not kept so yet
	Naming   string // what was typed as a name
	NameBad  string
	Wrong    []editFault
	Bad      bool
	Fields   []editField
	Steps    template.HTML
	Parts    []editPart
	Once     bool // it cannot be taken out
	Back     Part
	Trial    Part  // in which it is changed; empty: in the job itself
	TryIn    tryIn // where it can be tried instead
}

// editFault is something wrong with the changed job, not at a field of the form.
type editFault struct {
	Says string
	Href string // the form of the thing that it is about, empty: none
}

// editPart is the things within a thing.
type editPart struct {
	Title, Add, Order string
	All               []editEntry
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
	s := &subject{kind: findKind(kinds, section), back: b.within() + "/edit/" + section}
	if section == siteKind.section {
		s.kind, s.back = &siteKind, b.within()+"/edit"
	}
	if s.kind == nil || b.trying == nil && s.kind.design() != design {
		return nil, scheduler.ErrNotFound
	}
	s.here = b.address(s.kind, thing)
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

// within is what the addresses of forms begin with, below the job: in a trial they are
// forms of their own.
func (b *board) within() string {
	if b.trying != nil {
		return trialPath(b.trying.Number)
	}
	return ""
}

// address is where a thing of a kind is changed, below the job.
func (b *board) address(k *kindOf, thing string) string {
	if b.trying == nil && k.design() {
		return "/design/" + k.section + "/" + thing
	}
	return b.within() + "/edit/" + k.section + "/" + thing
}

func (p *Pages) editThing(c echo.Context) error   { return p.showEdit(c, false) }
func (p *Pages) designThing(c echo.Context) error { return p.showEdit(c, true) }
func (p *Pages) keepThing(c echo.Context) error   { return p.keep(c, false) }
func (p *Pages) keepDesign(c echo.Context) error  { return p.keep(c, true) }

func (p *Pages) showEdit(c echo.Context, design bool) error {
	b, s, thing, err := p.boardAndThing(c, design)
	if err != nil {
		return p.orToTrial(c, err)
	}
	pg := b.newEditPage(s, thing, &shownThing{})
	for k := range pg.Parts {
		if pg.Parts[k].Order != "" {
			orderOf(c, pg.Parts[k].All, true, true)
		}
	}
	pg.say(c, b)
	return p.renderEdit(c, http.StatusOK, b, pg)
}

func (p *Pages) boardAndThing(c echo.Context, design bool) (*board, *subject, jobfile.Value, error) {
	b, err := p.boardToEdit(c)
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
		Frame: b.frame("", b.tab()), Trial: b.trialPart(), Says: s.kind.says, Action: b.link(s.here), Revision: b.stands(), New: s.isNew(),
		Once: len(s.path) == 0, Fields: shown.fields(s.fields(), thing), Steps: shown.stock.stepOptions(),
		Back: Part{Text: s.kind.many, Href: b.link(s.back)},
	}
	title := thing.Title()
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
	if b.trying == nil {
		pg.Renaming = s.renaming(thing, "")
	}
	if !pg.New {
		for k := range s.kind.parts {
			part := &s.kind.parts[k]
			at := s.here + "/" + part.section + "/"
			e := editPart{Title: part.many, Add: b.link(at + newThing)}
			inner, _ := thing.Find(part.section)
			e.All = b.entries(inner, at)
			if part.order != "" && len(e.All) > 1 && b.trying == nil {
				e.Order = part.order
			}
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

// changeOf is a link to the form of a thing, empty where the reader may not send it.
func (b *board) changeOf(words, section string, path ...string) Part {
	kind := findKind(kinds, section)
	if !b.mayChange(kind) {
		return Part{}
	}
	return Part{Text: words, Href: b.link(b.address(kind, strings.Join(path, "/")))}
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
