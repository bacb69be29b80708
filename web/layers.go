package web

import (
	"html/template"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// layersPage is every build-up, drawn once, with how far it has come at its places.
type layersPage struct {
	Frame
	Defs     template.HTML
	BuildUps []buildUpEntry
	Keys     []layerKey
}

// buildUpEntry is one build-up, drawn as it stands at one of its places.
type buildUpEntry struct {
	ID, Title string
	Lead      []Line // how the places stand to each other
	Place     string // the one that is drawn
	Outward   string
	Scale     string // what is not to scale
	Picture   template.HTML
	Smalls    []smallEntry
	Left      Line // places that are not drawn
	Layers    []layerEntry
	Edit      Part   // where it is changed; empty: the reader may not
	Order     string // where the order is changed, empty: the reader may not
}

// smallEntry is a place beside the others.
type smallEntry struct {
	Place   string
	Href    string
	Here    bool
	Odd     bool
	Picture template.HTML
	Says    string
}

type layerKey struct {
	Sign  template.HTML
	Class string
	Word  string
	Means string
}

func (layersPage) name() string { return "layers" }

func (p *Pages) layers(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	pg := newLayersPage(b, scheduler.ID(c.QueryParam("at")))
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

// newLayersPage draws each build-up as it stands at the place that was asked for,
// where it has that place.
func newLayersPage(b *board, at scheduler.ID) layersPage {
	pg := layersPage{Frame: b.frame("Layers", "/layers"), Keys: layerKeys()}
	v := b.layerView()
	for k := range b.Job.BuildUps {
		pg.BuildUps = append(pg.BuildUps, v.buildUp(&b.Job.BuildUps[k], at))
	}
	pg.Defs = draw.Defs(v.used())
	return pg
}

// buildUp is a build-up as it stands at a place, and beside it the others.
func (v *layerView) buildUp(u *scheduler.BuildUp, at scheduler.ID) buildUpEntry {
	stands := v.stands(u)
	s := chosenStand(stands, at)
	e := buildUpEntry{ID: string(u.ID), Title: u.Title, Place: v.place(s.place), Outward: u.Outward, Lead: v.compareStands(u, stands)}
	if v.may("/layers/:buildup/order") && len(u.Layers) > 1 {
		e.Order = v.base + "/layers/" + string(u.ID) + "/order"
	}
	e.Edit = v.changeOf("Change the build-up", "build-ups", string(u.ID))
	picture := v.section(u, &s)
	e.Picture, e.Scale = picture.Draw(), scaleWords(picture)
	for k := range u.Layers {
		e.Layers = append(e.Layers, v.layer(u, &s, k))
	}
	if len(stands) > 1 {
		e.Smalls, e.Left = v.smalls(u, stands, s.place)
	}
	return e
}

// section is the drawing of a build-up at a place.
func (v *layerView) section(u *scheduler.BuildUp, s *stand) *draw.Section {
	lie, first, last := lieOf(u.Outward)
	d := &draw.Section{Lie: lie, First: first, Last: last, Label: "Section through " + u.Title + " at " + v.place(s.place) + ", " + u.Outward}
	for k := range u.Layers {
		l := &u.Layers[k]
		one := draw.Layer{
			Thickness: l.Thickness, Hatch: v.hatchOfLayer(l), State: s.states[k], Number: number0(k + 1),
			Href: "#" + layerAnchor(u, l), Tip: l.Title + ": " + v.word(u, s, k),
		}
		one.Clock, one.Late = v.clock(u, s, k)
		for _, hold := range v.holdsOf(u, s.place, l) {
			tip := v.stepTitle(hold)
			if h := v.holds[hold]; h != nil {
				tip += ": " + v.holdStatus(h).Text()
			}
			one.Gates = append(one.Gates, draw.GateMark{Gate: v.gate(hold), Href: v.link("/steps/" + string(hold)), Tip: tip})
		}
		d.Layers = append(d.Layers, one)
	}
	return d
}

// lieOf reads from "bottom to top" how layers lie and what is at their ends.
func lieOf(outward string) (lie draw.Lie, first, last string) {
	first, last, told := strings.Cut(outward, " to ")
	if !told {
		return draw.Across, "first: 1", "last"
	}
	switch strings.ToLower(strings.TrimSpace(first)) {
	case "bottom", "below", "lower", "underside":
		lie = draw.Upwards
	case "top", "above", "upper":
		lie = draw.Downward
	}
	return lie, strings.TrimSpace(first), strings.TrimSpace(last)
}

// scaleWords says which layers are not drawn to scale.
func scaleWords(s *draw.Section) string {
	which, toScale := s.Widened()
	if !toScale {
		return "No layer has a thickness: the drawing shows their order alone."
	}
	var numbers []string
	for _, k := range which {
		numbers = append(numbers, number0(k+1))
	}
	switch len(which) {
	case 0:
		return "Drawn to scale."
	case 1:
		return "Drawn to scale, but for " + numbers[0] + ", which has no thickness or is too thin to be seen."
	default:
		return "Drawn to scale, but for " + listed(numbers) + ", which have no thickness or are too thin to be seen."
	}
}

// mostSmalls is how many places are drawn beside each other; the odd ones out come
// first when there are more.
const mostSmalls = 24

func (v *layerView) smalls(u *scheduler.BuildUp, stands []stand, here scheduler.ID) (all []smallEntry, left Line) {
	lie, _, _ := lieOf(u.Outward)
	usual := usualStand(stands)
	shown := stands
	if len(stands) > mostSmalls {
		shown = oddFirst(stands, usual)[:mostSmalls]
		left = say("And " + number(len(stands)-mostSmalls, "more place") + ", which stand like most others or are named above.")
	}
	for k := range shown {
		s := &shown[k]
		all = append(all, smallEntry{
			Place: v.place(s.place), Href: v.layersAt(s.place, u.ID), Here: s.place == here, Odd: usual != "" && s.key() != usual,
			Picture: draw.Small(s.states, lie), Says: number0(s.laid()) + " of " + number0(len(s.states)) + " on",
		})
	}
	return all, left
}

// layersAt is the page with a build-up drawn at a place.
func (b *board) layersAt(place, buildUp scheduler.ID) string {
	q := "?at=" + string(place)
	if b.query != "" {
		q = b.query + "&at=" + string(place)
	}
	return b.base + "/layers" + q + "#" + string(buildUp)
}
