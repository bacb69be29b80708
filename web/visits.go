package web

import (
	"cmp"
	"html/template"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"gaugerod/web/draw"
)

// visitsPage is trades over time: who comes when, how long they are away in between, and
// where more is asked of them at once than they can send.
type visitsPage struct {
	Frame
	Turn     turning
	Defs     template.HTML
	Twice    []Line // who is double-booked
	Longest  []Line // the longest times away
	Promised againstPromise
	Picture  pictured
	Quiet    string
	Rows     []visitsRow
}

// visitsRow is one trade in the table.
type visitsRow struct {
	Swatch template.HTML
	Trade  Part
	Visits string
	Next   Line
	Last   Line
	Away   string // the longest time away
}

func (visitsPage) name() string { return "visits" }

func (p *Pages) tradesOverTime(c echo.Context) error {
	b, t, err := p.overTime(c, "/trades-over-time", usualZoom)
	if err != nil {
		return err
	}
	return p.render(c, http.StatusOK, newVisitsPage(b, t))
}

// mostTold is how many of a kind are told in words above a picture.
const mostTold = 5

func newVisitsPage(b *board, t turning) visitsPage {
	b.nearby = true
	pg := visitsPage{Frame: b.frame("Trades over time", "/trades"), Turn: t, Defs: b.defs(), Promised: b.againstPromise()}
	pg.Scripts = []string{"field.js"}
	var ahead []absence
	for _, tt := range b.tradeTimes() {
		for _, w := range tt.twice[:min(mostTold, len(tt.twice))] {
			pg.Twice = append(pg.Twice, b.saysTwice(tt, w))
		}
		if more := len(tt.twice) - mostTold; more > 0 {
			pg.Twice = append(pg.Twice, say(b.trade(tt.trade.ID), ": "+number(more, "time")+" more"))
		}
		for _, a := range tt.away {
			if a.until.After(b.begins) {
				ahead = append(ahead, a)
			}
		}
		pg.Rows = append(pg.Rows, b.visitsRow(tt))
	}
	slices.SortStableFunc(ahead, func(x, y absence) int { return cmp.Compare(y.minutes, x.minutes) })
	for _, a := range ahead[:min(mostTold, len(ahead))] {
		pg.Longest = append(pg.Longest, say(b.trade(a.trade), ": ", heavy(b.work(a.minutes)), ", from ", b.to(b.onEnd(a.from), a.left, heldThere), " to ", b.to(b.on(a.until), a.back, heldThere)))
	}
	drawn := b.drawnVisits(t)
	pg.Picture, pg.Quiet = b.pictured(t, "Trades over time", drawn.Picture, nil, "trades"), drawn.quiet
	return pg
}

// drawnVisits is the trades over time, laid out.
func (b *board) drawnVisits(t turning) laidOut {
	return b.once(t, "", func() laidOut {
		field := draw.Field{Scale: b.scaleOf(t), AsOf: b.begins, Labels: t.zoom.labels()}
		var quiet []string
		for _, tt := range b.tradeTimes() {
			if c := b.tradeCourse(tt, !field.Labels); showsAny(field.Scale, c) {
				field.Courses = append(field.Courses, c)
			} else {
				quiet = append(quiet, tt.trade.Title)
			}
		}
		return laidOut{field.LayOut(), listed(quiet)}
	})
}

// visitsRow is a trade in the table.
func (b *board) visitsRow(tt tradeTime) visitsRow {
	row := visitsRow{Swatch: b.swatches()[tt.trade.ID], Trade: b.trade(tt.trade.ID), Next: say("none ahead"), Last: say("none ahead")}
	ahead := 0
	for _, v := range tt.visits {
		if !v.until.After(b.begins) {
			continue
		}
		if ahead++; ahead == 1 {
			row.Next = b.between(v.from, v.until, v.first, v.last)
		}
		row.Last = b.between(v.from, v.until, v.first, v.last)
	}
	row.Visits = number(ahead, "visit")
	var longest int64
	for _, a := range tt.away {
		if a.until.After(b.begins) {
			longest = max(longest, a.minutes)
		}
	}
	if longest > 0 {
		row.Away = b.work(longest)
	}
	return row
}

// saysTwice tells a double booking.
func (b *board) saysTwice(tt tradeTime, w twice) Line {
	var steps []Line
	for k, id := range w.steps {
		if k == mostTold {
			steps = append(steps, say(number(len(w.steps)-k, "other")))
			break
		}
		steps = append(steps, b.stepAt(id))
	}
	return say(b.trade(tt.trade.ID), ": "+number(w.crews, "crew")+" at once where it has "+number(tt.crews(), "crew")+", ",
		b.stayOf(w.from, w.until, w.steps), ": ", together(steps), ".")
}

// tradeCourse is a trade's windows, the times away in between and its double bookings,
// for drawing.
func (b *board) tradeCourse(tt tradeTime, brief bool) draw.Course {
	c := draw.Course{Title: tt.trade.Title}
	ahead := 0 // the trade's page has only what is not over
	for k := range tt.windows {
		w := &tt.windows[k]
		block := draw.Block{
			Key: w.ID, Href: b.link("/trades/" + string(tt.trade.ID)), Tip: b.place(w.Place) + ", " + b.visitDays(*w).Text() + ".",
			Label: b.place(w.Place), Hatch: b.hatch(tt.trade.ID), Start: w.From, Finish: w.Until, Progress: b.progressOfWindow(w),
		}
		if !b.over(*w) {
			block.Href += "#w" + number0(ahead)
			ahead++
		}
		v := draw.Visit{From: w.From, Until: w.OutForOthers, Blocks: []draw.Block{block}}
		for _, p := range b.promises() {
			if !p.Of(w) {
				continue
			}
			v.Agreed = append(v.Agreed, b.agreedOn(p))
			if p.moved && !brief {
				v.Blocks[0].Tip += " " + upper(b.says(p).Text()) + "."
			}
		}
		c.Visits = append(c.Visits, v)
	}
	for _, a := range tt.away {
		c.Spans = append(c.Spans, draw.Span{From: a.from, Until: a.until, Words: b.work(a.minutes) + " away"})
	}
	for _, w := range tt.twice {
		c.Spans = append(c.Spans, draw.Span{From: w.from, Until: w.until, Twice: true, Words: "double-booked: " + number(w.crews, "crew") + " of " + number0(tt.crews())})
	}
	return c
}
