package draw

import (
	"encoding/xml"
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler/worktime"
)

var monday = worktime.NewDate(2026, time.June, 15)

// hours is a site that works from 07:30 to 16:00 on five days.
func hours(d worktime.Date) *Hours {
	if d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
		return &Hours{Begins: at(d, 0)}
	}
	return &Hours{Begins: at(d, 0), Open: at(d, 7*60+30), Shut: at(d, 16*60), Works: true}
}

func at(d worktime.Date, minutes worktime.Clock) time.Time {
	return d.At(minutes, time.UTC).Time(time.UTC)
}

func scale(days int, day float64) *Scale { return NewScale(monday, days, day, hours) }

// wellFormed reads a drawing as XML and returns what it is made of.
func wellFormed(t *testing.T, drawing template.HTML) map[string]int {
	t.Helper()
	n := map[string]int{}
	d := xml.NewDecoder(strings.NewReader(string(drawing)))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return n
		}
		if err != nil {
			t.Fatalf("not well-formed: %v in %s", err, drawing)
		}
		if start, ok := token.(xml.StartElement); ok {
			n[start.Name.Local]++
			for _, a := range start.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("%s has the attribute %s, which the pages' policy refuses", start.Name.Local, a.Name.Local)
				}
			}
		}
	}
}

func TestScaleIsSteadyAndTouches(t *testing.T) {
	s := scale(28, 40)
	last := -1.0
	for m := 0; m < 28*24*60; m += 10 {
		x := s.X(at(monday, 0).Add(time.Duration(m) * time.Minute))
		if x < last || x < 0 || x > s.Width {
			t.Fatalf("minute %d lies at %g after %g, of %g", m, x, last, s.Width)
		}
		last = x
	}
	if evening, morning := s.X(at(monday, 16*60)), s.X(at(monday+1, 7*60+30)); evening != morning {
		t.Errorf("work handed over in the evening ends at %g and goes on at %g", evening, morning)
	}
	if fri, mon := s.X(at(monday+4, 16*60)), s.X(at(monday+7, 7*60+30)); math.Abs(mon-fri-2*40*idle) > 1e-6 {
		t.Errorf("a weekend is %g wide", mon-fri)
	}
	if x := s.X(at(monday-3, 0)); x != 0 {
		t.Errorf("what lies before is at %g", x)
	}
	if x := s.X(at(monday+99, 0)); x != s.Width {
		t.Errorf("what lies after is at %g, not at the edge %g", x, s.Width)
	}
}

// TestLanesDoNotOverlap lays out random courses: no two blocks or gates of one
// lane may touch, words and letters included.
func TestLanesDoNotOverlap(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for round := range 200 {
		f := Field{Scale: scale(28, []float64{9, 17, 30, 52}[round%4]), Labels: round%2 == 0}
		l := f.layOut(randomCourse(r))
		type span struct{ from, to float64 }
		lanes := map[int][]span{}
		add := func(lane int, from, to float64) {
			for _, o := range lanes[lane] {
				if from < o.to && o.from < to {
					t.Fatalf("round %d, lane %d: %g to %g lies over %g to %g", round, lane, from, to, o.from, o.to)
				}
			}
			lanes[lane] = append(lanes[lane], span{from, to})
		}
		for _, b := range l.blocks {
			add(b.lane, b.from, b.reach())
		}
		for _, m := range l.marks {
			add(m.lane, m.x-gateWidth/2, m.x+gateWidth/2+textWidth(m.label))
		}
		if len(lanes) > l.lanes {
			t.Fatalf("round %d: %d lanes are used and %d counted", round, len(lanes), l.lanes)
		}
	}
}

func randomCourse(r *rand.Rand) Course {
	c := Course{Title: "North wall"}
	random := func() time.Time { return at(monday, 0).Add(time.Duration(r.IntN(35*24*60)-5*24*60) * time.Minute) }
	for k := range r.IntN(12) {
		var v Visit
		for n := range 1 + r.IntN(3) {
			start := random()
			v.Blocks = append(v.Blocks, Block{
				Key: fmt.Sprint(k, n), Short: []string{"FR", "WS+AS", ""}[r.IntN(3)], Label: "Membrane on and its laps taped",
				Start: start, Finish: start.Add(time.Duration(r.IntN(5*24*60)) * time.Minute), Hatch: k,
			})
			v.From, v.Until = start, start.AddDate(0, 0, r.IntN(30))
		}
		c.Visits = append(c.Visits, v)
		c.Marks = append(c.Marks, Mark{Key: fmt.Sprint("m", k), Label: "Seen before cover", At: random(), Gate: Gate(r.IntN(6))})
	}
	return c
}

func TestFieldIsWellFormed(t *testing.T) {
	const nasty = `<script>"&'</script>`
	today := at(monday+2, 9*60)
	f := Field{
		Scale: scale(28, 30), AsOf: at(monday, 0), Labels: true, Chain: []string{"a", "gone", "g", "b"},
		Courses: []Course{
			{Title: nasty, Visits: []Visit{{From: at(monday, 0), Until: at(monday+9, 0), Blocks: []Block{
				{Key: "a", Href: nasty, Tip: nasty, Short: "<>", Label: nasty, Start: at(monday, 450), Finish: at(monday+3, 960)},
			}}}},
			{Title: "Empty"},
			{
				Title: "Roof", Visits: []Visit{{Blocks: []Block{{Key: "b", Short: "RO", Start: at(monday+6, 450), Finish: at(monday+8, 960), Progress: Underway}}}},
				Marks: []Mark{{Key: "g", Label: nasty, At: at(monday+4, 960), Gate: Barred}},
			},
		},
	}
	p := f.LayOut()
	whole, over := drawn(p, Look{Today: &today, Waits: []Wait{{From: "a", To: "g", Tight: true}, {From: "b", To: "gone"}}})
	n := wellFormed(t, whole)
	if n["script"] > 0 {
		t.Error("what people wrote went in unescaped")
	}
	if got := strings.Count(over, "<circle"); got != 3+1 {
		t.Errorf("the mason's line has %d knots, not one for each driving step that is shown and one for a wait: 4", got)
	}
	goesOn(t, p)
}

var (
	drivingLine   = regexp.MustCompile(`class="line" d="([^"]*)"`)
	heightsOfLine = regexp.MustCompile(`[ V](-?[\d.]+)`)
)

// goesOn holds that the driving chain, which passes all strips of the picture, is one line
// in each and leads over every edge between two.
func goesOn(t *testing.T, p *Picture) {
	t.Helper()
	all := Column{p.scale.From, p.scale.From + worktime.Date(p.scale.Days())}
	for k := range p.Strips() {
		lines := drivingLine.FindAllStringSubmatch(string(p.Strip(k, []Column{all}, Look{}).Over[0]), -1)
		if len(lines) != 1 {
			t.Errorf("in strip %d the driving chain is drawn as %d lines, not as one", k, len(lines))
			continue
		}
		top, bottom := math.Inf(1), math.Inf(-1)
		for _, h := range heightsOfLine.FindAllStringSubmatch(lines[0][1], -1) {
			y, err := strconv.ParseFloat(h[1], 64)
			if err != nil {
				t.Fatalf("%v in %s", err, lines[0][1])
			}
			top, bottom = min(top, y), max(bottom, y)
		}
		if k > 0 && top > 0 {
			t.Errorf("in strip %d the driving chain begins %g px below the edge", k, top)
		}
		if high := p.strips[k].height; k < p.Strips()-1 && bottom < high {
			t.Errorf("in strip %d, of %g px, the driving chain ends at %g", k, high, bottom)
		}
	}
}

// drawn is a whole picture in one column, and of it what lies over the rows.
func drawn(p *Picture, look Look) (whole template.HTML, over string) {
	all := Column{p.scale.From, p.scale.From + worktime.Date(p.scale.Days())}
	whole = "<div>" + p.Staff(all, look)
	for k := range p.Strips() {
		s := p.Strip(k, []Column{all}, look)
		whole += s.Under[0] + s.Over[0]
		over += string(s.Over[0])
		for _, row := range s.Slices {
			whole += row.Pieces[0]
		}
	}
	return whole + "</div>", over
}

// TestLineRunsAlongTheBlocks holds the driving line against the drawn blocks: it
// begins at the foot of the first and passes every later one from its start on.
func TestLineRunsAlongTheBlocks(t *testing.T) {
	f := Field{Scale: scale(14, 30), AsOf: at(monday, 0), Chain: []string{"a", "b"}, Courses: []Course{
		{Title: "One", Visits: []Visit{{Blocks: []Block{{Key: "a", Start: at(monday, 450), Finish: at(monday, 960)}}}}},
		{Title: "Two", Visits: []Visit{{Blocks: []Block{{Key: "b", Start: at(monday+1, 450), Finish: at(monday+1, 960)}}}}},
	}}
	_, over := drawn(f.LayOut(), Look{})
	first := CaptionHeight + groundLine + 3
	second := first + laneHeight + courseFoot + CaptionHeight
	want := fmt.Sprintf("M0 %gH30V%gH60", first, second)
	if !strings.Contains(over, want) {
		t.Errorf("the line is not %s in %s", want, over)
	}
}

func TestGatesDifferInShape(t *testing.T) {
	seen := map[string]string{}
	for k, g := range gateShapes {
		wellFormed(t, template.HTML("<g>"+g.shape+"</g>"))
		if other, twice := seen[g.shape]; twice {
			t.Errorf("gates %s and %s have one shape", other, g.id)
		}
		seen[g.shape] = g.id
		if k > 0 && g.id == gateShapes[k-1].id {
			t.Errorf("two gates are called %s", g.id)
		}
	}
}

func TestHatchesDifferAndAreDefinedOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, h := range hatches {
		if seen[h] {
			t.Errorf("two trades would look the same: %s", h)
		}
		seen[h] = true
	}
	defs := Defs([]int{0, 3, 3, Hatches, -1})
	wellFormed(t, defs)
	for n, want := range map[int]int{0: 1, 3: 1, 1: 0, Hatches - 1: 1} {
		if got := strings.Count(string(defs), fmt.Sprintf(`id="h%d"`, n)); got != want {
			t.Errorf("hatching %d is defined %d times, not %d", n, got, want)
		}
	}
}

func TestWindowAndChainAreWellFormed(t *testing.T) {
	s := scale(42, 12)
	w := Window{Scale: s, Earliest: at(monday, 450), From: at(monday+3, 450), Until: at(monday+4, 960), OutForOthers: at(monday+7, 960), OutDue: at(monday+20, 960), Short: "WS", AsOf: at(monday, 0)}
	if n := wellFormed(t, w.Draw("The window")); n["path"] < 6 {
		t.Errorf("a window of four days has only %d marks", n["path"])
	}
	legs := []Leg{
		{Title: "Made", Href: "a", Start: at(monday, 450), Finish: at(monday+10, 960), Progress: Underway},
		{Title: "Carriage", Href: "b", Start: at(monday+10, 960), Finish: at(monday+14, 450)},
	}
	c := Chain{Scale: s, Legs: legs, Deliver: at(monday+15, 450), NeedBy: at(monday+18, 450), OrderBy: at(monday+1, 450), AsOf: at(monday, 0), Gate: CrateDue}
	if n := wellFormed(t, c.Draw("Windows & doors")); n["rect"] != len(legs) {
		t.Errorf("%d stages are drawn as %d legs", len(legs), n["rect"])
	}
	wellFormed(t, Chain{Scale: s, Deliver: at(monday+3, 0), NeedBy: at(monday+3, 0)}.Draw("Nothing but a delivery"))
}

func TestCut(t *testing.T) {
	for _, c := range []struct {
		in    string
		width float64
		want  string
	}{
		{"Roof", 100, "Roof"}, {"Roof underlay on", 9 * letter, "Roof und…"}, {"Roof, underlay", 6 * letter, "Roof…"}, {"Roof", 2 * letter, ""},
	} {
		if got := cut(c.in, c.width); got != c.want {
			t.Errorf("cut(%q, %g) = %q, not %q", c.in, c.width, got, c.want)
		}
	}
}
