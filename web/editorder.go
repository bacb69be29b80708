package web

import (
	"cmp"
	"errors"
	"html/template"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// The two ways in which something is moved among others of its kind.
const moveUp, moveDown = "up", "down"

// moveThing moves a thing up or down in its list, and leads back to the list with the
// focus where it was.
func (p *Pages) moveThing(c echo.Context, b *board, s *subject, way string) error {
	name := s.path[len(s.path)-1]
	back := url.Values{"moved": {name}, "way": {way}}
	if from := c.FormValue("from"); from != "" {
		back.Set("from", from)
	}
	in := form{}
	err := p.applyTo(c, b, &in, func(j *scheduler.Job) error {
		next, err := jobfile.Move(j, way == moveUp, s.path...)
		if err == nil {
			*j = *next
		}
		return err
	}, func() string { return s.back + "?" + back.Encode() }, "moved")
	if errors.Is(err, errAgain) { // it is at the end already: somebody else was faster
		return c.Redirect(http.StatusSeeOther, b.base+s.back+"?"+back.Encode())
	}
	return err
}

// orderOf tells entries of a list apart by how they are moved.
func orderOf(c echo.Context, all []editEntry, first, last bool) {
	moved, way := c.QueryParam("moved"), c.QueryParam("way")
	for k := range all {
		e := &all[k]
		e.Up, e.Down = k > 0 || !first, k < len(all)-1 || !last
		if e.Name != moved || moved == "" {
			continue
		}
		e.Focus = moveUp
		if way == moveDown && e.Down || !e.Up {
			e.Focus = moveDown
		}
	}
}

// rowMove is a line of a form that is to change places with the one before or after it.
type rowMove struct {
	rows string // the heading
	row  int
	way  string
}

// rowMoveOf reads what a button asks for: "up-layers-2".
func rowMoveOf(do string) (rowMove, bool) {
	way, rest, _ := strings.Cut(do, "-")
	k := strings.LastIndexByte(rest, '-')
	if way != moveUp && way != moveDown || k < 0 {
		return rowMove{}, false
	}
	row, err := strconv.Atoi(rest[k+1:])
	return rowMove{rest[:k], row, way}, err == nil
}

// apply has two lines of what was typed change places; it says where the moved one is then.
func (m rowMove) apply(values url.Values) (url.Values, rowMove) {
	to := m.row + 1
	if m.way == moveUp {
		to = m.row - 1
	}
	if last := (&typed{values: values}).rows(m.rows); to < 0 || to >= last || m.row >= last {
		return values, m
	}
	next := maps.Clone(values)
	for field, v := range values {
		rest, ok := strings.CutPrefix(field, m.rows+"-")
		number, tail, more := strings.Cut(rest, "-")
		k, err := strconv.Atoi(number)
		if !ok || !more || err != nil || k != m.row && k != to {
			continue
		}
		other := m.rows + "-" + strconv.Itoa(m.row+to-k) + "-" + tail
		if values[other] == nil {
			delete(next, field)
		}
		next[other] = v
	}
	m.row = to
	return next, m
}

// renamePart is the form in which a thing, or one within it, gets another short name.
type renamePart struct {
	Of   template.HTML // what can be called otherwise, where there are several
	Name string        // as it was typed
	Bad  string
}

// renaming is the form for the names of a subject, of which one is chosen; nil where
// there is nothing to name.
func (s *subject) renaming(thing jobfile.Value, chosen string) *renamePart {
	if s.kind.named == "" || s.isNew() {
		return nil
	}
	var of []choice
	for _, a := range s.kind.fields {
		rows, _ := thing.Find(a.key)
		for _, e := range rows.Keys {
			if a.named {
				of = append(of, choice{e.Key, cmp.Or(e.Value.Title(), e.Key) + " (" + e.Key + ")"})
			}
		}
	}
	if len(of) == 0 {
		return &renamePart{}
	}
	of = slices.Insert(of, 0, choice{"", "the whole (" + s.path[len(s.path)-1] + ")"})
	return &renamePart{Of: written(of, chosen)}
}

// nameOf is the thing, or what is within it, that is to have another name.
func (s *subject) nameOf(of string) scheduler.Named {
	own := scheduler.ID(s.path[len(s.path)-1])
	n := scheduler.Named{Kind: s.kind.named, ID: own}
	if s.within != nil {
		n.In = s.within.ID
	}
	if of != "" {
		n = scheduler.Named{Kind: scheduler.LayerName, In: own, ID: scheduler.ID(of)}
		if s.kind.named == scheduler.OrderName {
			n.Kind = scheduler.StageName
		}
	}
	return n
}

// rename gives a thing another short name.
func (p *Pages) rename(c echo.Context, b *board, s *subject, thing jobfile.Value) error {
	in := readForm(c, "name", "of")
	named, to := s.nameOf(in.Value("of")), in.Value("name")
	err := p.send(c, b, &in, func(e db.Edit) (*office.Sheet, error) {
		ctx := c.Request().Context()
		if _, err := p.office.Rename(ctx, b.Job.ID, e, named, scheduler.ID(to)); err != nil {
			return nil, err
		}
		return p.office.Sheet(ctx, b.Job.ID, nil)
	}, func() string {
		if in.Value("of") != "" {
			return s.here
		}
		return strings.TrimSuffix(s.here, string(named.ID)) + url.PathEscape(to)
	}, "renamed")
	return p.orAgain(err, func(status int) error {
		pg := b.newEditPage(s, thing, &shownThing{})
		if pg.Renaming = s.renaming(thing, in.Value("of")); pg.Renaming != nil {
			pg.Renaming.Name, pg.Renaming.Bad = to, cmp.Or(in.Problem("name"), in.Wrong)
		}
		return p.render(c, status, pg)
	})
}
