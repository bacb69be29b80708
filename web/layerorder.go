package web

import (
	"cmp"
	"errors"
	"html/template"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"gaugerod/api/office"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
	"gaugerod/web/draw"
)

// layerOrderPage is what moves when a layer is laid at another place in its build-up.
type layerOrderPage struct {
	Frame
	Defs         template.HTML
	ID, After    string // of the layer, and of the one it would come after
	Layer, Way   string
	BuildUp      string
	Outward      string
	Lead         string
	Wrong        string // why it cannot be
	Orders       []orderOfLayers
	Covers       []string // what goes over what anew
	Laid         []Line   // where it is too late to lay them otherwise
	Says         []Line   // the finish and the due days
	Calls        []callEntry
	Moves        []moveGroup
	New, Gone    folded[alertEntry]
	Against      Line // the order contradicts what is written elsewhere
	Action, Back string
	TryIn        tryIn // the trials in which it can be tried instead
}

// orderOfLayers is the layers now or then.
type orderOfLayers struct {
	Title   string
	Picture template.HTML
	Layers  []orderedLayer
}

type orderedLayer struct {
	Title string
	Moved bool
}

func (layerOrderPage) name() string { return "layerorder" }

// layerMoveOf is what is asked for: a layer of a build-up, after another one or first.
func layerMoveOf(c echo.Context) *trial.Layer {
	return &trial.Layer{
		BuildUp: scheduler.ID(c.Param("buildup")), Layer: scheduler.ID(c.FormValue("layer")), After: scheduler.ID(c.FormValue("after")),
	}
}

// previewLayer shows what a new order of layers would come to. The job is planned as of
// the day from which it is planned anyway, whatever day the reader looked at.
func (p *Pages) previewLayer(c echo.Context) error {
	return p.showLayerOrder(c, http.StatusOK, layerMoveOf(c), "")
}

// orderLayers keeps a new order of layers, or puts it into a trial.
func (p *Pages) orderLayers(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	m := layerMoveOf(c)
	if b.Job.FindBuildUp(m.BuildUp) == nil {
		return scheduler.ErrNotFound
	}
	in := readForm(c, "layer", "after")
	if ops := []trial.Op{{Layer: m}}; c.FormValue("do") == "try" {
		err = p.putIntoTrial(c, b, &in, ops)
	} else {
		in.About = string(m.BuildUp)
		err = p.apply(c, b, &in, func(j *scheduler.Job) error { return trial.Make(j, ops) }, "/layers", "layer")
	}
	return p.orAgain(err, func(status int) error {
		wrong := in.Wrong
		for _, field := range []string{"layer", "after"} {
			wrong = cmp.Or(wrong, in.Problem(field))
		}
		return p.showLayerOrder(c, status, m, wrong)
	})
}

// showLayerOrder shows the order as a trial of it alone comes out; wrong is why it was
// not kept.
func (p *Pages) showLayerOrder(c echo.Context, status int, m *trial.Layer, wrong string) error {
	ctx, id := c.Request().Context(), scheduler.ID(c.Param("job"))
	now, err := p.office.Sheet(ctx, id, nil)
	if err != nil {
		return err
	}
	b, err := p.boardOf(c, now, false)
	if err != nil {
		return err
	}
	u := b.Job.FindBuildUp(m.BuildUp)
	if u == nil || !slices.ContainsFunc(u.Layers, func(l scheduler.Layer) bool { return l.ID == m.Layer }) {
		return scheduler.ErrNotFound
	}
	pg := newLayerOrderPage(b, u, m)
	if pg.TryIn, err = p.tryIn(c, b); err != nil {
		return err
	}
	tried, err := p.office.Try(ctx, id, []trial.Op{{Layer: m}})
	if err != nil {
		refused := form{}
		if errTaken := refused.take(b, err); !errors.Is(errTaken, errAgain) {
			return errTaken
		}
		wrong, status = cmp.Or(wrong, refused.Wrong), http.StatusUnprocessableEntity
	} else {
		then, err := p.boardOf(c, tried.Then, false)
		if err != nil {
			return err
		}
		pg.compared(b, then, m, tried)
	}
	pg.Wrong = wrong
	return p.render(c, status, pg)
}

func newLayerOrderPage(b *board, u *scheduler.BuildUp, m *trial.Layer) layerOrderPage {
	pg := layerOrderPage{
		Frame: b.frame("Another order of layers", "/layers"), ID: string(m.Layer), After: string(m.After), BuildUp: u.Title, Outward: u.Outward,
		Back: b.base + "/layers#" + string(u.ID), Way: "first",
	}
	for k := range u.Layers {
		switch u.Layers[k].ID {
		case m.Layer:
			pg.Layer = u.Layers[k].Title
		case m.After:
			pg.Way = "after " + u.Layers[k].Title
		}
	}
	pg.Lead = "This is what the plan would come to if " + pg.Layer + " were laid " + pg.Way + ", at " + b.placeNames(u.Places) + "."
	v := b.layerView()
	pg.Orders = []orderOfLayers{v.ordered("Now", u, m.Layer)}
	pg.Defs = draw.Defs(v.used())
	if b.may("/layers/:buildup/order") {
		pg.Action = b.base + "/layers/" + string(u.ID) + "/order"
	}
	return pg
}

// ordered is the layers in an order, drawn without how far they have come.
func (v *layerView) ordered(title string, u *scheduler.BuildUp, moved scheduler.ID) orderOfLayers {
	o := orderOfLayers{Title: title}
	lie, first, last := lieOf(u.Outward)
	d := draw.Section{Plain: true, Lie: lie, First: first, Last: last, Label: title + ": " + u.Title}
	for k := range u.Layers {
		l := &u.Layers[k]
		o.Layers = append(o.Layers, orderedLayer{l.Title, l.ID == moved})
		d.Layers = append(d.Layers, draw.Layer{Thickness: l.Thickness, Hatch: v.hatchOfLayer(l), Number: number0(k + 1)})
	}
	o.Picture = d.Draw()
	return o
}

// compared says what the new order comes to.
func (pg *layerOrderPage) compared(now, then *board, m *trial.Layer, tried *office.Tried) {
	was, is := now.Job.FindBuildUp(m.BuildUp), then.Job.FindBuildUp(m.BuildUp)
	v := now.layerView()
	pg.Orders = []orderOfLayers{v.ordered("Now", was, m.Layer), v.ordered("Then", is, m.Layer)}
	pg.Covers = newCovers(was, is)
	pg.Laid = v.laidAlready(was, is)
	c := tried.Moved
	then.unkept = true
	pg.Says, pg.Calls, pg.Moves = then.compareSays(c), then.callsOf(c), then.moves(c)
	pg.New, pg.Gone = then.foldedAlerts(tried.Fresh), now.foldedAlerts(tried.Gone)
	if more := len(then.Plan.Contradictions) - len(now.Plan.Contradictions); more > 0 {
		pg.Against = say(heavy("This order contradicts what is written elsewhere"), ", in "+number(more, "more place")+
			" than now: a wait of a step, most likely, that was written with the old order in mind. The plan sets one of the statements aside each time, so its days are not to be relied on until the other is changed too.")
	}
}

// newCovers says what goes over what that did not before.
func newCovers(was, is *scheduler.BuildUp) (all []string) {
	type pair struct{ under, over scheduler.ID }
	before := map[pair]bool{}
	for k := 1; k < len(was.Layers); k++ {
		before[pair{was.Layers[k-1].ID, was.Layers[k].ID}] = true
	}
	for k := 1; k < len(is.Layers); k++ {
		under, over := &is.Layers[k-1], &is.Layers[k]
		if !before[pair{under.ID, over.ID}] {
			all = append(all, over.Title+" then goes over "+under.Title+" and waits for it.")
		}
	}
	return all
}

// laidAlready says where layers that change their place are there already, so that
// the new order comes too late.
func (v *layerView) laidAlready(was, is *scheduler.BuildUp) (all []Line) {
	for k := range was.Layers {
		l := &was.Layers[k]
		if is.Layers[k].ID == l.ID {
			continue
		}
		var places []scheduler.ID
		for _, place := range was.Places {
			if s := v.steps[v.laidBy(l.By, place)]; s != nil && begun(s) {
				places = append(places, place)
			}
		}
		if len(places) > 0 {
			all = append(all, say(heavy(l.Title), " is on or begun already at "+v.placeNames(places)+": there the new order changes nothing that was built."))
		}
	}
	return all
}
