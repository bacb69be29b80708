package web

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestLayersInABrowser: the sections fit phone and desk in light and dark, and a click
// on a layer of the drawing opens what is said of it, without script.
func TestLayersInABrowser(t *testing.T) {
	s := wallsUnderWay(t)
	b := newBrowser(t, s)
	order := s.job + "/layers/wall-skin/order?layer=fibre-1&after=sheathing"
	for _, screen := range screens {
		b.screen(screen.width, screen.height, screen.phone)
		for _, dark := range []bool{false, true} {
			b.dark(dark)
			for name, path := range map[string]string{"layers": s.job + "/layers", "layers-north": s.job + "/layers?at=wall-north", "order": order} {
				b.open(path)
				if over := measure[[]string](b, tooWide); len(over) > 0 {
					t.Errorf("%s, %s: wider than the screen: %s", name, screen.name, strings.Join(over, ", "))
				}
				if dark {
					name += "-dark"
				}
				b.shot(screen.name + "-" + name)
			}
		}
	}
	b.open(s.job + "/layers")
	if measure[bool](b, `document.querySelector("#wall-skin--membrane").closest("details").open`) {
		t.Fatal("a layer's words are open before anybody asked for them")
	}
	b.do(chromedp.Click(`svg.section a[href="#wall-skin--membrane"] .hit`))
	if !measure[bool](b, `document.querySelector("#wall-skin--membrane").closest("details").open`) {
		t.Error("a click on the layer in the drawing does not open its words")
	}
}
