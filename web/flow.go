package web

import (
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// flowPage is work that repeats from place to place, a picture for each typical.
type flowPage struct {
	Frame
	Turn  turning
	Defs  template.HTML
	Flows []flowEntry
}

// flowEntry is one typical over its places.
type flowEntry struct {
	Title   string
	Says    []Line
	Picture pictured
	Lines   []flowKey
	Table   [][]Line // a row for each place: its name, then the days of each line
	Quiet   bool     // nothing of it lies in the days that are shown
}

// flowKey is the number of a line and what it stands for.
type flowKey struct {
	Swatch template.HTML
	Says   Line
}

func (flowPage) name() string { return "flow" }

func (p *Pages) flow(c echo.Context) error {
	b, t, err := p.overTime(c, "/flow", flowZoom)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newFlowPage(b, t))
}

func newFlowPage(b *board, t turning) flowPage {
	b.nearby = true
	pg := flowPage{Frame: b.frame("Flow", "/places"), Turn: t, Defs: b.defs()}
	pg.Scripts = []string{"field.js"}
	for _, f := range b.flows() {
		e := flowEntry{Title: f.typical.Title, Says: b.saysFlow(f), Quiet: true}
		for _, line := range f.lines {
			e.Lines = append(e.Lines, b.flowKey(line))
			for _, s := range line.at {
				e.Quiet = e.Quiet && (s == nil || b.civil(s.Start) >= t.window.Until || b.civilEnd(s.Finish) < t.window.From)
			}
		}
		e.Table = b.flowTable(f)
		pieces := "flow." + string(f.typical.ID)
		drawn := b.drawnFlow(t, f).Picture
		e.Picture = b.pictured(t, f.typical.Title, drawn, b.sayStep(false), pieces)
		e.Picture.First = b.firstIn(t, f, drawn)
		pg.Flows = append(pg.Flows, e)
	}
	return pg
}

// firstIn is how far to the right the first work in the window is, in pixels, empty where
// there is none: a narrow screen begins there.
func (b *board) firstIn(t turning, f repeated, drawn *draw.Picture) string {
	first := t.window.Until
	for _, line := range f.lines {
		for _, s := range line.at {
			if s != nil && b.civil(s.Start) >= t.window.From {
				first = min(first, b.civil(s.Start))
			}
		}
	}
	if first == t.window.Until {
		return ""
	}
	return number0(int(drawn.Left(first)))
}

// drawnFlow is one typical over its places, laid out.
func (b *board) drawnFlow(t turning, f repeated) laidOut {
	return b.once(t, string(f.typical.ID), func() laidOut {
		picture := draw.Flow{Scale: b.scaleOf(t), AsOf: b.begins}
		for _, place := range f.typical.Places {
			picture.Rows = append(picture.Rows, b.place(place))
		}
		for _, line := range f.lines {
			picture.Lines = append(picture.Lines, b.flowLine(line))
		}
		return laidOut{Picture: picture.LayOut()}
	})
}

// repeated is a typical and where each of its tasks stands in the plan.
type repeated struct {
	typical *scheduler.Typical
	lines   []repeatedTask
}

// repeatedTask is one task of a typical; at is by place, nil where the plan has none.
type repeatedTask struct {
	task *scheduler.Task
	at   []*scheduler.PlannedStep
}

// flows is the typicals with two places or more, as planned.
func (b *board) flows() []repeated {
	var all []repeated
	for k := range b.Job.Typicals {
		t := &b.Job.Typicals[k]
		if len(t.Places) < 2 || len(t.Tasks) == 0 {
			continue
		}
		f := repeated{typical: t}
		for n := range t.Tasks {
			line := repeatedTask{task: &t.Tasks[n], at: make([]*scheduler.PlannedStep, len(t.Places))}
			for i, place := range t.Places {
				line.at[i] = b.steps[place+"."+t.Tasks[n].ID]
			}
			f.lines = append(f.lines, line)
		}
		all = append(all, f)
	}
	return all
}

// flowLine is a line for drawing.
func (b *board) flowLine(line repeatedTask) (l draw.FlowLine) {
	for row, s := range line.at {
		if s != nil {
			l.Points = append(l.Points, draw.FlowPoint{
				Row: row, Key: string(s.ID), Start: s.Start, Finish: s.Finish, Progress: progressOf(s), Was: b.wasOf(s),
			})
		}
	}
	return l
}

func (b *board) flowKey(line repeatedTask) flowKey {
	k := flowKey{Says: say(line.task.Title)}
	if len(line.task.Trades) > 0 {
		k.Swatch = b.swatchOf(line.task.Trades[0])
		k.Says = say(k.Says, ", ", b.trade(line.task.Trades[0]))
	}
	return k
}

func (b *board) flowTable(f repeated) [][]Line {
	var rows [][]Line
	for i, place := range f.typical.Places {
		row := []Line{say(b.place(place))}
		for _, line := range f.lines {
			days := say("none")
			if line.at[i] != nil {
				days = b.daysOf(line.at[i])
			}
			row = append(row, days)
		}
		rows = append(rows, row)
	}
	return rows
}

// saysFlow tells of each kind of work and the one behind it how they run: whether the
// one behind catches up, falls back, or is there before the one in front has left.
func (b *board) saysFlow(f repeated) []Line {
	var all []Line
	for k := 1; k < len(f.lines); k++ {
		if l := b.saysPair(f, f.lines[k-1], f.lines[k]); l != nil {
			all = append(all, l)
		}
	}
	return all
}

// lead is how far, in one place, the work in front is ahead of that behind it.
type lead struct {
	place   scheduler.ID
	minutes int64 // negative: the one behind begins before the one in front is done
}

func (b *board) saysPair(f repeated, front, behind repeatedTask) Line {
	var leads []lead
	var early []string
	for i, place := range f.typical.Places {
		a, z := front.at[i], behind.at[i]
		if a == nil || z == nil {
			continue
		}
		l := lead{place, b.siteMinutes(a.Finish, z.Start)}
		if z.Start.Before(a.Finish) {
			l.minutes = -b.siteMinutes(z.Start, a.Finish)
			early = append(early, b.place(place))
		}
		leads = append(leads, l)
	}
	if len(leads) < 2 {
		return nil
	}
	pair := say("“" + behind.task.Title + "” behind “" + front.task.Title + "”: ")
	if len(early) == len(leads) {
		return say(pair, "it begins everywhere before that is done.")
	}
	if len(early) > 0 {
		return say(pair, heavy("the lines cross"), ": in "+listed(early)+" it begins before that is done, elsewhere after it.")
	}
	return say(pair, b.saysLeads(leads))
}

// saysLeads tells how the time in between goes from the first place to the last.
func (b *board) saysLeads(leads []lead) Line {
	first, last, least := leads[0], leads[len(leads)-1], leads[0]
	for _, l := range leads {
		if l.minutes < least.minutes {
			least = l
		}
	}
	between := func(l lead) string { return b.work(l.minutes) + " in " + b.place(l.place) }
	day := b.Job.DayMinutes()
	switch {
	case first.minutes-last.minutes >= day:
		return say(heavy("catches up"), ", from "+b.work(first.minutes)+" between them in "+b.place(first.place)+" to "+b.work(last.minutes)+" in "+b.place(last.place)+".")
	case last.minutes-first.minutes >= day:
		return say("falls back, from " + b.work(first.minutes) + " between them in " + b.place(first.place) + " to " + b.work(last.minutes) + " in " + b.place(last.place) + "; closest in " + b.place(least.place) + ".")
	case least.minutes < first.minutes-day:
		return say("keeps its distance at both ends and comes closest in " + b.place(least.place) + ", with " + b.work(least.minutes) + " between them.")
	}
	return say("keeps its distance, with " + between(least) + " at the closest.")
}
