package web

import (
	"html/template"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// layersPage is every build-up at each of its places, as a section.
type layersPage struct {
	Frame
	Defs     template.HTML
	Sections []sectionEntry
	Keys     []layerKey
}

type sectionEntry struct {
	Title, Place, Outward string
	Picture               template.HTML
	Layers                []layerEntry
}

type layerEntry struct {
	Number   string
	Title    string
	Material string // with its thickness
	Step     Part
	State    string // one word or two
	Class    string
	Says     Line
	Seen     Line
	Source   string
}

type layerKey struct {
	Class, Word, Means string
}

func (layersPage) name() string { return "layers" }

func (p *Pages) layers(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newLayersPage(b))
}

func newLayersPage(b *board) layersPage {
	pg := layersPage{Frame: b.frame("Layers", "/layers"), Keys: layerKeys}
	var used []int
	for k := range b.Job.BuildUps {
		u := &b.Job.BuildUps[k]
		for n := range u.Layers {
			used = append(used, n*3+1)
		}
		for _, place := range u.Places {
			pg.Sections = append(pg.Sections, b.section(u, place))
		}
	}
	pg.Defs = draw.Defs(used)
	return pg
}

var layerWords = [...]string{
	draw.ToCome: "must wait", draw.Next: "next", draw.Bare: "on, open", draw.Covered: "covered", draw.CoveredUnseen: "covered unseen",
}

var layerClasses = [...]string{draw.ToCome: "lt", draw.Next: "ln", draw.Bare: "lb", draw.Covered: "lc", draw.CoveredUnseen: "lu"}

var layerKeys = []layerKey{
	{"lt", layerWords[draw.ToCome], "something before it is not done"},
	{"ln", layerWords[draw.Next], "nothing stops it, or it is being laid"},
	{"lb", layerWords[draw.Bare], "laid, and nothing over it yet"},
	{"lc", layerWords[draw.Covered], "the next layer is over it"},
	{"lu", layerWords[draw.CoveredUnseen], "covered before somebody released it"},
}

func (b *board) section(u *scheduler.BuildUp, place scheduler.ID) sectionEntry {
	e := sectionEntry{Title: u.Title, Place: b.place(place), Outward: u.Outward}
	var drawn []draw.Layer
	for k := range u.Layers {
		l := &u.Layers[k]
		state := b.layerState(u, place, k)
		entry := layerEntry{
			Number: strconv.Itoa(k + 1), Title: l.Title, Material: material(l), State: layerWords[state], Class: layerClasses[state], Source: l.Source,
		}
		if id := b.laidBy(l.By, place); id != "" {
			entry.Step, entry.Says = b.step(id), b.layerSays(id)
		}
		if c := b.cover(u.ID, place, l.ID); c != nil {
			if len(c.Unseen) > 0 || b.mustBeSeen(c) {
				entry.Seen, _ = b.seen(c)
			}
			if c.Limit != nil && !b.done(c.CoveredBy) {
				entry.Says = say(entry.Says, " Covered by ", b.onEnd(*c.Limit), " at the latest.")
			}
		}
		e.Layers = append(e.Layers, entry)
		drawn = append(drawn, draw.Layer{Thickness: l.Thickness, Hatch: k*3 + 1, State: state, Number: entry.Number})
	}
	e.Picture = draw.Section(drawn, "Section through "+u.Title+", "+u.Outward)
	return e
}

func material(l *scheduler.Layer) string {
	var parts []string
	if l.Material != "" {
		parts = append(parts, l.Material)
	}
	if l.Thickness > 0 {
		parts = append(parts, strconv.Itoa(l.Thickness)+" mm")
	}
	return strings.Join(parts, ", ")
}

func (b *board) layerSays(id scheduler.ID) Line {
	s := b.steps[id]
	switch s.State {
	case scheduler.Complete:
		return say("Done ", b.onEnd(s.Finish), ".")
	case scheduler.Underway:
		return say("Under way, until ", b.onEnd(s.Finish), ".")
	default:
		return say(upper(b.fromTo(s.Start, s.Finish).Text()) + ".")
	}
}

// laidBy is the step that lays a layer at a place: a task, or the place's own
// instance of a typical's.
func (b *board) laidBy(by, place scheduler.ID) scheduler.ID {
	local := by
	if k := strings.LastIndexByte(string(by), '.'); k >= 0 {
		local = by[k+1:]
	}
	for _, id := range []scheduler.ID{place + "." + local, by} {
		if b.steps[id] != nil {
			return id
		}
	}
	return ""
}

func (b *board) cover(buildUp, place, layer scheduler.ID) *scheduler.PlannedCover {
	for k := range b.Plan.Covers {
		if c := &b.Plan.Covers[k]; c.BuildUp == buildUp && c.Place == place && c.Layer == layer {
			return c
		}
	}
	return nil
}

func (b *board) layerState(u *scheduler.BuildUp, place scheduler.ID, k int) draw.LayerState {
	s := b.steps[b.laidBy(u.Layers[k].By, place)]
	if s == nil {
		return draw.ToCome
	}
	if !begun(s) {
		if s.State == scheduler.Ready || len(b.unmet(s)) == 0 {
			return draw.Next
		}
		return draw.ToCome
	}
	if c := b.cover(u.ID, place, u.Layers[k].ID); c != nil {
		if by := b.steps[c.CoveredBy]; by != nil && begun(by) {
			if len(c.Unseen) > 0 {
				return draw.CoveredUnseen
			}
			return draw.Covered
		}
	} else if k+1 < len(u.Layers) && b.laidBy(u.Layers[k+1].By, place) == s.ID && s.State == scheduler.Complete {
		return draw.Covered // one step lays both
	}
	if s.State == scheduler.Underway {
		return draw.Next
	}
	return draw.Bare
}
