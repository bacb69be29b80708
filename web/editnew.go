package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/starter"
)

// newJobPage sets a job up from nothing.
type newJobPage struct {
	Frame
	Wrong    []string
	Fields   []editField
	Naming   string
	Bad      string // what is wrong with the short name
	Revision int64  // none: there is no job yet
}

func (newJobPage) name() string { return "newjob" }

// firstAsked is what a new job is asked besides what it says of itself.
var firstAsked = []asked{{key: "people.owner.name", label: "The owner's name", hint: "who decides; others are added afterwards", must: true}}

// firstWeek is proposed for a new job: common practice, no source.
func firstWeek(zone, today string) jobfile.Value {
	var v, week jobfile.Value
	v.Set("zone", jobfile.Value{Word: zone})
	v.Set("start", jobfile.Value{Word: today})
	for _, day := range []string{"monday", "tuesday", "wednesday", "thursday", "friday"} {
		week.Set(day, jobfile.Words("07:30-12:00", "12:30-16:00"))
	}
	v.Set("week", week)
	return v
}

func (p *Pages) newJob(c echo.Context) error {
	now := p.now()
	zone := now.Location().String()
	if zone == "Local" {
		zone = "UTC"
	}
	shown := &shownThing{stock: &stock{}}
	pg := newJobPage{Frame: Frame{Title: "A new job"}}
	pg.Fields = shown.fields(asks(siteKind.fields, firstAsked), firstWeek(zone, now.Format("2006-01-02")))
	return p.render(c, http.StatusOK, pg)
}

// makeJob keeps a new job and leads to the typicals that it can begin with.
func (p *Pages) makeJob(c echo.Context) error {
	values, err := c.FormParams()
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the form cannot be read")
	}
	fields := asks(siteKind.fields, firstAsked)
	thing, t := readThing(values, fields, jobfile.Value{})
	if _, ok := in(thing, "people.owner.name"); ok {
		setIn(&thing, "people.owner.role", jobfile.Value{Word: string(scheduler.Owner)})
	}
	pg := newJobPage{Frame: Frame{Title: "A new job"}, Naming: values.Get(nameField)}
	problems := map[string]string{}
	again := func() error {
		shown := &shownThing{stock: &stock{}, typed: t, problems: problems}
		pg.Fields = shown.fields(fields, thing)
		return p.render(c, http.StatusUnprocessableEntity, pg)
	}
	for _, name := range t.long {
		problems[name] = "That is too long."
	}
	id := cmp.Or(strings.TrimSpace(pg.Naming), shortName(thing.Title(), func(string) bool { return false }))
	if len(t.long) > 0 {
		return again()
	}
	thing.Set("job", jobfile.Value{Word: id})
	job, err := jobfile.PutWhole(&thing)
	if m, ok := errors.AsType[jobfile.Misfits](err); ok {
		for _, f := range m {
			says := upper(f.What) + "; " + f.Mend + "."
			switch field := t.field(f.At); {
			case len(f.At) > 0 && f.At[0] == "job" && len(f.At) == 1:
				pg.Bad = says
			case field != "":
				problems[field] = says
			default:
				pg.Wrong = append(pg.Wrong, says)
			}
		}
		return again()
	}
	if err != nil {
		return err
	}
	e := p.edit(c, &form{})
	e.New = true
	_, err = p.office.Put(c.Request().Context(), job, e)
	if refusal, ok := errors.AsType[*scheduler.Refusal](err); ok && refusal.Field == "job" {
		pg.Bad = upper(refusal.Error()) + "."
		return again()
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+id+"/begin")
}

// beginPage offers typicals to begin with.
type beginPage struct {
	Frame
	Action   string
	Revision int64
	Wrong    string
	All      []starterEntry
}

type starterEntry struct {
	ID, Title, Says, Field, PlacesField, Places string
	There, Chosen                               bool
}

func (beginPage) name() string { return "begin" }

func (p *Pages) begin(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	pg, err := b.newBeginPage(nil)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, pg)
}

func (b *board) newBeginPage(values map[string][]string) (beginPage, error) {
	all, err := starter.All()
	if err != nil {
		return beginPage{}, err
	}
	pg := beginPage{Frame: b.frame("Begin with typicals", "/edit"), Action: b.link("/begin"), Revision: b.Revision}
	for _, s := range all {
		_, there := jobfile.Find(b.Job, "typicals", s.Name)
		e := starterEntry{ID: "begin-" + s.Name, Title: s.Title, Says: s.Says, Field: s.Name, PlacesField: s.Name + "-places", Places: strings.Join(s.Places, ", "), There: there}
		if values != nil {
			e.Chosen, e.Places = len(values[e.Field]) > 0, strings.Join(values[e.PlacesField], ", ")
		}
		pg.All = append(pg.All, e)
	}
	return pg, nil
}

// beginWith adds the typicals that were chosen, all or none.
func (p *Pages) beginWith(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	values, err := c.FormParams()
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the form cannot be read")
	}
	all, err := starter.All()
	if err != nil {
		return err
	}
	t := &typed{values: values}
	in := form{}
	err = p.applyTo(c, b, &in, func(j *scheduler.Job) error {
		chosen := 0
		for k := range all {
			s := &all[k]
			if t.get(s.Name) == "" {
				continue
			}
			chosen++
			next, err := s.Add(j, placesCalled(j, t.several(s.Name+"-places")))
			if err != nil {
				return err
			}
			*j = *next
		}
		if chosen == 0 {
			return &scheduler.Refusal{Kind: scheduler.ErrIncomplete, What: "nothing is chosen", Mend: "tick a typical, or go on without"}
		}
		return nil
	}, func() string { return "/edit" }, "kept")
	if m, ok := errors.AsType[jobfile.Misfits](err); ok {
		in.Wrong, err = upper(m[0].What)+"; "+m[0].Mend+".", errAgain
	}
	return p.orAgain(err, func(status int) error {
		pg, err := b.newBeginPage(values)
		if err != nil {
			return err
		}
		pg.Wrong = in.Wrong
		return p.render(c, status, pg)
	})
}

// placesCalled is places by their titles or names: those there are, and new ones.
func placesCalled(j *scheduler.Job, titles []string) []scheduler.Place {
	var all []scheduler.Place
	taken := func(id string) bool {
		same := func(p scheduler.Place) bool { return string(p.ID) == id }
		return slices.ContainsFunc(j.Places, same) || slices.ContainsFunc(all, same)
	}
	for _, title := range titles {
		k := slices.IndexFunc(j.Places, func(p scheduler.Place) bool { return strings.EqualFold(p.Title, title) || string(p.ID) == title })
		if k >= 0 {
			all = append(all, j.Places[k])
			continue
		}
		all = append(all, scheduler.Place{ID: scheduler.ID(shortName(title, taken)), Title: title})
	}
	return all
}
