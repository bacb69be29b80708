package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// layerEntry is one layer at the place that is drawn.
type layerEntry struct {
	ID       string
	Number   string
	Anchor   string
	Title    string
	Swatch   template.HTML // the hatching of its material
	Material string        // with its thickness
	Sign     template.HTML
	State    string // one word or a few
	Class    string
	Step     Part
	Until    Line // what it must wait for longest, and how many things more
	Says     []Line
	Why      string // the chain behind its days
	Gates    []layerGate
	Clocks   []layerClock
	Source   string
	Earlier  string // the layer after which it would come, moved earlier, by ID
	Later    string
	First    bool // it cannot be moved earlier
	Last     bool
}

type layerGate struct {
	Hold   Part
	Status Line
	Look   string // where it is released, empty: it is open
}

type layerClock struct {
	Says Line
	Left string
	Late bool
}

var layerWords = [...]string{
	draw.ToCome: "must wait", draw.Next: "may go on now", draw.Laying: "being laid", draw.Bare: "on, open",
	draw.Covering: "being covered this week", draw.Covered: "covered", draw.CoveredUnseen: "covered unseen",
}

var layerClasses = [...]string{
	draw.ToCome: "lt", draw.Next: "ln", draw.Laying: "lg", draw.Bare: "lb", draw.Covering: "lv", draw.Covered: "lc", draw.CoveredUnseen: "lu",
}

var layerMeans = [...]string{
	draw.ToCome: "something before it is not done", draw.Next: "nothing in the plan stops it", draw.Laying: "begun and not finished",
	draw.Bare: "finished, and nothing over it yet", draw.Covering: "the next layer goes over it", draw.Covered: "the next layer is over it",
	draw.CoveredUnseen: "covered before somebody released it",
}

// layerKeys explains every state.
func layerKeys() []layerKey {
	keys := make([]layerKey, len(layerWords))
	for s := range layerWords {
		keys[s] = layerKey{Sign: draw.LayerSign(draw.LayerState(s)), Class: layerClasses[s], Word: layerWords[s], Means: layerMeans[s]}
	}
	return keys
}

// word is the state of a layer at a place in a word or a few.
func (v *layerView) word(u *scheduler.BuildUp, s *stand, k int) string {
	if s.states[k] == draw.Bare && k == len(u.Layers)-1 {
		return "done" // the outermost stays open
	}
	return layerWords[s.states[k]]
}

func layerAnchor(u *scheduler.BuildUp, l *scheduler.Layer) string { return string(u.ID + "--" + l.ID) }

// layer is all that is said of a layer at a place.
func (v *layerView) layer(u *scheduler.BuildUp, s *stand, k int) layerEntry {
	l := &u.Layers[k]
	e := layerEntry{
		ID: string(l.ID), Number: number0(k + 1), Anchor: layerAnchor(u, l), Title: l.Title, Material: material(l), Source: l.Source,
		Swatch: draw.Swatch(v.hatchOfLayer(l), ""), Sign: draw.LayerSign(s.states[k]), State: v.word(u, s, k), Class: layerClasses[s.states[k]],
		First: k == 0, Last: k == len(u.Layers)-1,
	}
	if k > 1 {
		e.Earlier = string(u.Layers[k-2].ID)
	}
	if !e.Last {
		e.Later = string(u.Layers[k+1].ID)
	}
	if id := v.laidBy(l.By, s.place); id != "" {
		e.Step, e.Why = v.step(id), v.link("/steps/"+string(id))+"#why"
		e.Says = v.layerSays(id)
		if s.states[k] == draw.ToCome {
			e.Until = v.longestWait(v.steps[id])
		}
	}
	for _, hold := range v.holdsOf(u, s.place, l) {
		g := layerGate{Hold: v.step(hold)}
		if h := v.holds[hold]; h != nil {
			g.Status = v.holdStatus(h)
			if h.State != scheduler.Complete && v.may("/steps/:step/release") {
				g.Look = v.link("/steps/"+string(hold)) + "#release"
			}
		}
		e.Gates = append(e.Gates, g)
	}
	e.Clocks = v.layerClocks(u, s, k)
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

// layerSays is when a layer is laid, and what it waits for.
func (b *board) layerSays(id scheduler.ID) []Line {
	s := b.steps[id]
	switch {
	case s.State == scheduler.Complete:
		return []Line{say("Done ", b.endOf(s), ".")}
	case s.State == scheduler.Underway:
		return []Line{say("Under way, until ", b.endOf(s), ".")}
	case len(b.unmet(s)) == 0:
		return []Line{say("Nothing stops it: ", b.fromTo(s), ".")}
	default:
		return []Line{say(b.fromTo(s).capital(), "."), say("It must wait until ", b.untilMet(s), ".")}
	}
}

// longestWait is what a step waits for longest, and how many things more.
func (b *board) longestWait(s *scheduler.PlannedStep) Line {
	left := b.unmet(s)
	var last *scheduler.PlannedStep
	for _, n := range left {
		if step := b.steps[n.Step]; step != nil && (last == nil || step.Finish.After(last.Finish)) {
			last = step
		}
	}
	if last == nil {
		return nil
	}
	l := say("until ", b.step(last.ID), " is "+doneWord(last)+" (", b.endOf(last), ")")
	if len(left) > 1 {
		l = say(l, " and "+number(len(left)-1, "more thing"))
	}
	return l
}

// layerClocks is what runs on a layer: its cure, and how long it may stay open.
func (v *layerView) layerClocks(u *scheduler.BuildUp, s *stand, k int) (all []layerClock) {
	l := &u.Layers[k]
	laid, c := v.steps[v.laidBy(l.By, s.place)], v.cover(u, s.place, l)
	if laid == nil || c == nil || v.done(c.CoveredBy) {
		return nil
	}
	if !l.Cure.Zero() && laid.State == scheduler.Complete {
		if ends := v.after(v.site(), laid.Finish, l.Cure); ends.After(v.begins) {
			all = append(all, layerClock{Says: say("Cures until ", v.to(v.at(ends), c.CoveredBy, itsWaits), ": nothing goes over it before."), Left: left(ends.Sub(v.begins))})
		}
	}
	if c.Limit == nil {
		return all
	}
	if !begun(laid) {
		return append(all, layerClock{Says: say("May stay open for "+l.Exposed.String()+", as planned until ", v.to(v.onEnd(*c.Limit), c.CoveredBy, itsWaits), ".")})
	}
	clock := layerClock{Left: left(c.Limit.Sub(v.begins)), Late: c.Covered.After(*c.Limit)}
	verdict := "in time"
	if clock.Late {
		verdict = elapsed(c.Covered.Sub(*c.Limit)) + " too late"
	}
	clock.Says = v.openSince(c, verdict)
	return append(all, clock)
}

// clock is what the drawing shows of the clocks of a layer: the one that ends first.
func (v *layerView) clock(u *scheduler.BuildUp, s *stand, k int) (short string, late bool) {
	l := &u.Layers[k]
	laid, c := v.steps[v.laidBy(l.By, s.place)], v.cover(u, s.place, l)
	if laid == nil || c == nil || !begun(laid) || v.done(c.CoveredBy) {
		return "", false
	}
	var ends []time.Time
	if !l.Cure.Zero() && laid.State == scheduler.Complete {
		if end := v.after(v.site(), laid.Finish, l.Cure); end.After(v.begins) {
			ends = append(ends, end)
		}
	}
	if c.Limit != nil {
		ends, late = append(ends, *c.Limit), c.Covered.After(*c.Limit)
	}
	if len(ends) == 0 {
		return "", false
	}
	first := slices.MinFunc(ends, time.Time.Compare).Sub(v.begins)
	switch days := first.Hours() / 24; {
	case first < 0:
		return "over", true
	case days < 2:
		return fmt.Sprintf("%d h", int(first.Hours())), late
	default:
		return fmt.Sprintf("%d d", int(math.Floor(days))), late
	}
}
