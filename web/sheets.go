package web

import (
	"bytes"
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/paper"
)

// sheetFoot stands at the foot of every sheet.
const sheetFoot = "Gaugerod orders work; it never says that work is safe. A computed date is no permission to load, strip, undercut, remove a support, " +
	"energise or enter. Local codes and the written word of engineer, inspector and manufacturer come first."

// sheet answers with a PDF of a page's words.
func (p *Pages) sheet(c echo.Context, b *board, title, file string, blocks []paper.Block) error {
	size, ok := paper.Sizes[c.QueryParam("size")]
	if !ok {
		return echo.NewHTTPError(http.StatusBadRequest, "the paper is A4 or A3")
	}
	var out bytes.Buffer
	head := paper.Head{Job: b.Job.Title, Title: title, Standing: b.sheetStanding(), Foot: sheetFoot}
	if err := paper.Write(&out, size, b.now, head, blocks); err != nil {
		return err
	}
	h := c.Response().Header()
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Content-Disposition", `inline; filename="`+string(b.Job.ID)+"-"+file+`.pdf"`)
	return c.Blob(http.StatusOK, "application/pdf", out.Bytes())
}

// sheetStanding is what tells one printing of a sheet from another.
func (b *board) sheetStanding() string {
	text := "As of " + b.onDate(b.AsOf).Text + ", revision " + strconv.FormatInt(b.Revision, 10)
	if i := b.Job.LastIssue(); i != nil {
		return text + ", issue " + i.Letter
	}
	return text + ", not issued"
}

// paperOf is where a page's sheets are, for the frame.
func (b *board) paperOf(path string) *PaperLinks {
	return &PaperLinks{A4: b.link(path), A3: b.with(path, "size", "A3")}
}

// ofWeek is where the sheets of a week are.
func (b *board) ofWeek(w week) *PaperLinks {
	a4 := b.with("/week.pdf", "week", w.monday.String())
	return &PaperLinks{A4: a4, A3: a4 + "&size=A3"}
}

// runs are the words of a line without its links.
func runs(parts ...any) []paper.Run {
	var all []paper.Run
	for _, part := range say(parts...) {
		all = append(all, paper.Run{Text: part.Text, Heavy: part.Heavy})
	}
	return all
}

// listing gathers the blocks of a sheet.
type listing []paper.Block

func (l *listing) head(text string) { *l = append(*l, paper.Heading{Text: text}) }

func (l *listing) text(m paper.Mark, parts ...any) {
	*l = append(*l, paper.Text{Mark: m, Runs: runs(parts...)})
}

func (l *listing) cautions(all []scheduler.Caution) {
	var names []Line
	for _, c := range all {
		names = append(names, say(string(c)))
	}
	if len(all) > 0 {
		l.text(paper.Grave, heavy("Caution: "), together(names), ". Its release belongs to the licensed or authorised person.")
	}
}

// weekSheet is the week for the wall of the site hut.
func (p *Pages) weekSheet(c echo.Context) error {
	b, w, err := p.askedWeek(c)
	if err != nil {
		return err
	}
	title := "Week from " + b.onDate(w.monday).Text + " to " + b.onDate(w.monday+6).Text
	return p.sheet(c, b, title, "week-"+w.monday.String(), b.weekBlocks(w))
}

func (b *board) weekBlocks(w week) []paper.Block {
	var l listing
	for _, line := range b.opening() {
		l.text(paper.None, line)
	}
	if grave, _ := b.graveFirst(); len(grave) > 0 {
		l.head("Look at this first")
		for k := range grave {
			l.text(paper.Grave, heavy(upper(string(grave[k].Kind))+". "), grave[k].Sentence)
		}
	}
	ahead, coming := b.tasks(w)
	l.head("What can go ahead")
	for _, e := range ahead {
		l.text(paper.Box, e.Step, ". ", e.Says)
		l.cautions(e.Cautions)
	}
	if len(ahead) == 0 {
		l.text(paper.None, "Nothing can go ahead in this week.")
	}
	for _, e := range coming {
		l.text(paper.Box, e.Step, ". ", e.Says)
		l.cautions(e.Cautions)
	}
	b.weekStops(&l, w)
	b.weekDays(&l, w)
	b.weekDues(&l, w)
	return l
}

func (b *board) weekStops(l *listing, w week) {
	l.head("What stops the rest")
	stops := b.stops(w)
	for _, s := range stops {
		l.text(paper.Gate, heavy(s.Gate.Text()), " (", s.Where, "). Stops ", together(s.Stops), ".")
	}
	if len(stops) == 0 {
		l.text(paper.None, "No hold point, delivery or decision stops work that is planned for this week or the next.")
	}
	l.head("Hold points to book or release")
	gates := b.gates(w)
	for _, g := range gates {
		l.text(paper.Gate, heavy(g.Gate.Text()), " (", g.Status, "). ", g.Says)
	}
	if len(gates) == 0 {
		l.text(paper.None, "None in this week.")
	}
}

func (b *board) weekDays(l *listing, w week) {
	l.head("Who comes on which day")
	for _, d := range b.whoComes(w) {
		var lines []Line
		for _, v := range d.Visits {
			lines = append(lines, say(heavy(v.Trade.Text), ", "+v.Where+": ", v.Doing))
		}
		lines = append(lines, d.Callers...)
		if len(lines) == 0 {
			lines = []Line{say("Nobody.")}
		}
		day := runs(heavy(d.Day.Text))
		if d.Shut != "" {
			day = append(day, paper.Run{Text: " closed: " + d.Shut})
		}
		for k, line := range lines {
			if k > 0 {
				day = nil
			}
			*l = append(*l, paper.Row{Day: day, Text: runs(line)})
		}
	}
	l.head("What arrives")
	arrivals := b.arrivals(w)
	for _, a := range arrivals {
		l.text(paper.Box, a)
	}
	if len(arrivals) == 0 {
		l.text(paper.None, "Nothing arrives in this week.")
	}
	l.head("What gets covered")
	covers := b.covers(w)
	for _, cover := range covers {
		mark := paper.None
		if !cover.Good {
			mark = paper.Grave
		}
		l.text(mark, cover.Says, " ", cover.Seen)
	}
	if len(covers) == 0 {
		l.text(paper.None, "No layer is covered in this week.")
	}
}

func (b *board) weekDues(l *listing, w week) {
	for _, part := range []struct {
		title, none string
		dues        []dueEntry
	}{
		{"Decisions due", "No decision is needed in the next three weeks.", b.decisions(w)},
		{"Orders to place", "No order has to go out in the next four weeks.", b.toOrder(w)},
		{"Drawings to send out", "No work of the next four weeks waits for a drawing.", b.toDraw(w)},
	} {
		l.head(part.title)
		for _, d := range part.dues {
			*l = append(*l, paper.Row{Day: runs(heavy(d.By.Text)), Text: runs(d.Says), Late: d.Late})
		}
		if len(part.dues) == 0 {
			l.text(paper.None, part.none)
		}
	}
	l.head("Clocks that run")
	clocks := b.clocks()
	for _, k := range clocks {
		*l = append(*l, paper.Row{Day: runs(heavy(k.Left)), Text: runs(k.Kind+" ", k.What, ". ", k.Says), Late: k.Late})
	}
	if len(clocks) == 0 {
		l.text(paper.None, "Nothing cures, and no layer is open against a limit.")
	}
}

// ordersSheet is the list of orders.
func (p *Pages) ordersSheet(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	pg := newOrdersPage(b)
	var l listing
	for _, o := range pg.Orders {
		l.head(o.Title)
		if o.Supplier != "" {
			l.text(paper.None, "From "+o.Supplier+".")
		}
		for _, line := range o.Says {
			l.text(paper.None, line)
		}
		if o.Late {
			l.text(paper.Grave, heavy("Late: it must be hastened, placed now, or stood in for."))
		}
		for _, s := range o.Stages {
			parts := say(s.Step.Text)
			for _, more := range []string{s.Takes, s.Whose} {
				if more != "" {
					parts = say(parts, ", "+more)
				}
			}
			l.text(paper.Box, parts, ": ", s.Says)
		}
		if o.StandIn != "" {
			l.text(paper.None, "If it is late: "+o.StandIn+".")
		}
		l.cautions(o.Cautions)
	}
	if len(pg.Orders) == 0 {
		l.text(paper.None, "Nothing is on order.")
	}
	if len(pg.Here) > 0 {
		l.head("Here already")
		for _, line := range pg.Here {
			l.text(paper.None, line)
		}
	}
	return p.sheet(c, b, "Orders", "orders", l)
}

// layersSheet is each build-up at each place, with its gates to sign.
func (p *Pages) layersSheet(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	var l listing
	for k := range b.Job.BuildUps {
		u := &b.Job.BuildUps[k]
		for _, place := range u.Places {
			b.layersOnPaper(&l, u, place)
		}
	}
	if len(l) == 0 {
		l.text(paper.None, "The job has no build-ups.")
	}
	return p.sheet(c, b, "Layers", "layers", l)
}

func (b *board) layersOnPaper(l *listing, u *scheduler.BuildUp, place scheduler.ID) {
	if len(*l) > 0 {
		*l = append(*l, paper.Turn{})
	}
	l.head(u.Title + ", " + b.place(place))
	l.text(paper.None, "Drawn "+u.Outward+". Wide layers are drawn narrower than they are. A gate stands where somebody must see a layer before it is covered.")
	var drawn paper.Section
	var says []paper.Block
	var gates []scheduler.ID
	for k := range u.Layers {
		layer := &u.Layers[k]
		line := say(heavy(strconv.Itoa(k+1) + " " + layer.Title))
		if m := material(layer); m != "" {
			line = say(line, ", "+m)
		}
		step := b.steps[b.laidBy(layer.By, place)]
		if step != nil {
			line = say(line, ": ", b.stageSays(step))
		}
		seen := b.seenBy(u.ID, place, layer.ID)
		gates = append(gates, seen...)
		drawn.Layers = append(drawn.Layers, paper.Layer{
			Thickness: layer.Thickness, Hatch: k, Laid: step != nil && step.State == scheduler.Complete, Gate: len(seen) > 0,
		})
		says = append(says, paper.Text{Mark: paper.Box, Runs: runs(line, ".")})
	}
	*l = append(append(*l, drawn), says...)
	for _, id := range gates {
		h := b.holds[id]
		if h == nil {
			continue
		}
		sign := paper.Sign{Title: b.stepAt(id).Text(), Says: runs(upper(b.holdStatus(h).Text())), Done: h.State == scheduler.Complete}
		if !sign.Done {
			sign.Says = append(sign.Says, runs(". Planned for ", b.on(h.Planned), ". Signed here it still has to be recorded in Gaugerod.")...)
		}
		*l = append(*l, sign)
	}
}

// seenBy is the hold points that must see a layer at a place before it is covered.
func (b *board) seenBy(buildUp, place, layer scheduler.ID) []scheduler.ID {
	var all []scheduler.ID
	for k := range b.Network.Covers {
		if c := &b.Network.Covers[k]; c.BuildUp == buildUp && c.Place == place && c.Layer == layer {
			for _, id := range c.Seen {
				if !slices.Contains(all, id) {
					all = append(all, id)
				}
			}
		}
	}
	return all
}
