package draw

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func wall() *Section {
	gate := func(g Gate) []GateMark {
		return []GateMark{{Gate: g, Href: "steps/x", Tip: `Seen & "released"`}, {Gate: Shut, Href: "steps/y", Tip: "Leak test"}}
	}
	return &Section{Label: "Wall", First: "inside", Last: "outside", Layers: []Layer{
		{Thickness: 18, State: Covered, Number: "1", Gates: gate(Open)},
		{State: CoveredUnseen, Number: "2", Href: "#a", Tip: "Membrane", Gates: gate(Barred)},
		{Thickness: 200, Number: "3", Clock: "9 days", Late: true},
	}}
}

func TestSectionsAreWellFormed(t *testing.T) {
	for _, lie := range []Lie{Across, Upwards, Downward} {
		s := wall()
		s.Lie = lie
		picture := s.Draw()
		n := wellFormed(t, picture)
		if got := strings.Count(string(picture), `class="ly `); got != 3 {
			t.Errorf("3 layers are drawn as %d", got)
		}
		if got := strings.Count(string(picture), `class="lx"`); got != 1 {
			t.Errorf("%d layers are crossed out as covered unseen, not 1", got)
		}
		if n["use"] != 4 {
			t.Errorf("4 hold points are drawn as %d gates", n["use"])
		}
		for _, want := range []string{"inside", "outside", "9 days", "mm</text>"} {
			if !strings.Contains(string(picture), want) {
				t.Errorf("the section does not say %q", want)
			}
		}
		s.Plain = true
		if n := wellFormed(t, s.Draw()); n["use"] != 0 || n["a"] != 0 {
			t.Errorf("a plain section has %d gates and %d links", n["use"], n["a"])
		}
	}
}

func TestSectionIsToScale(t *testing.T) {
	s := Section{Layers: []Layer{{Thickness: 18}, {}, {Thickness: 80}, {Thickness: 60}, {Thickness: 1}, {Thickness: 24}}}
	z := s.sized()
	if z.scale <= 0 || z.edges[6] > acrossMost+1 {
		t.Fatalf("scale %g, %g wide", z.scale, z.edges[6])
	}
	for _, k := range []int{0, 2, 3, 5} {
		if want := float64(s.Layers[k].Thickness) * z.scale; math.Abs(z.widths[k]-want) > .5 {
			t.Errorf("layer %d is %g wide, not %g", k, z.widths[k], want)
		}
	}
	if which, toScale := s.Widened(); fmt.Sprint(which) != "[1 4]" || !toScale {
		t.Errorf("drawn wider than they are: %v, to scale %v", which, toScale)
	}
	bare := Section{Layers: []Layer{{}, {}}}
	if which, toScale := bare.Widened(); len(which) != 2 || toScale {
		t.Errorf("without a thickness: %v, to scale %v", which, toScale)
	}
	wellFormed(t, bare.Draw())
	wellFormed(t, (&Section{}).Draw())
}

// TestSectionsFitTheirPicture: whatever the layers, none has a width of nothing, all
// of them fit, and the numbers and gates keep apart.
func TestSectionsFitTheirPicture(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		s := Section{Lie: Lie(r.IntN(3))}
		for range 1 + r.IntN(12) {
			l := Layer{}
			if r.IntN(3) > 0 {
				l.Thickness = int(math.Exp(r.Float64() * 9))
			}
			s.Layers = append(s.Layers, l)
		}
		z := s.sized()
		for k, w := range z.widths {
			if w < thinnest {
				t.Fatalf("layer %d of %v is %g wide", k, s.Layers, w)
			}
		}
		if n := len(s.Layers); z.edges[n] > acrossMost+thinnest*float64(n)+float64(n) {
			t.Fatalf("%v is %g wide", s.Layers, z.edges[n])
		}
		wellFormed(t, s.Draw())
	}
}

func TestSpread(t *testing.T) {
	for _, c := range []struct {
		at        []float64
		low, high float64
		want      string
	}{
		{[]float64{10, 50}, 0, 100, "[10 50]"},
		{[]float64{10, 12, 14}, 0, 100, "[10 30 50]"},
		{[]float64{95, 96}, 0, 100, "[80 100]"},
		{[]float64{-5, 0}, 0, 100, "[0 20]"},
		{nil, 0, 100, "[]"},
	} {
		if got := fmt.Sprint(spread(c.at, 20, c.low, c.high)); got != c.want {
			t.Errorf("%v spread: %s, not %s", c.at, got, c.want)
		}
	}
}

func TestLanes(t *testing.T) {
	lane, n := lanes([]float64{10, 10, 20, 40, 41}, 26)
	if fmt.Sprint(lane) != "[0 1 2 0 1]" || n != 3 {
		t.Errorf("lanes %v, %d of them", lane, n)
	}
}

func TestEveryStateHasItsOwnSign(t *testing.T) {
	signsSeen, cells := map[string]bool{}, map[string]bool{}
	for s := ToCome; s <= CoveredUnseen; s++ {
		drawn := string(LayerSign(s))
		wellFormed(t, LayerSign(s))
		if signsSeen[drawn] {
			t.Errorf("state %d has the sign of another", s)
		}
		signsSeen[drawn] = true
		wellFormed(t, Small([]LayerState{s, s}, Lie(int(s)%3)))
		cells[string(Small([]LayerState{s}, Across))] = true
	}
	if len(cells) != 5 { // what is there and not flagged looks alike from afar
		t.Errorf("%d cells", len(cells))
	}
}
