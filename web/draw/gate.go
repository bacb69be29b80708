package draw

// Gate is the state in which a hold point is drawn.
type Gate int

// The states of gates.
const (
	Shut     Gate = iota
	Expected      // booked, or somebody has said when
	Open          // released
	Barred        // looked at and refused
	CrateDue      // a delivery that has not come
	CrateIn       // a delivery that has
)

// gateShapes are 18 by 20, hung by the middle of the ground line. The states
// differ in outline, so that they can be told apart in black and white.
var gateShapes = [...]struct{ id, shape string }{
	Shut: {"gs", `<path class="gp" d="M-8-18V0M8-18V0"/><path class="gl" d="M-8-14H8M-8-9H8M-8-4H8M-8-4L8-14"/>`},
	Expected: {"ge", `<path class="gp" d="M-8-18V0M8-18V0"/><path class="gl" d="M-8-14L1-17V-7L-8-4M-8-9L1-12"/>` +
		`<path class="gd" d="M1 0H8"/>`},
	Open:   {"go", `<path class="gp" d="M-8-18V0M8-18V0"/><path class="gl" d="M-8-14H-12M-8-4H-12"/><path class="gt" d="M-4-9l3 3 5-6"/>`},
	Barred: {"gb", `<path class="gp" d="M-8-18V0M8-18V0"/><path class="gf" d="M-8-17H8V-2H-8z"/><path class="gx" d="M-4-13l8 8M4-13l-8 8"/>`},
	CrateDue: {"gc", `<path class="gl gh" d="M-7-15H7V-4H-7zM-7-15L7-4M7-15L-7-4"/><path class="gp" d="M-9-1H9"/>` +
		`<path class="gl" d="M-6-4v3M6-4v3"/>`},
	CrateIn: {"gi", `<path class="gf" d="M-7-15H7V-4H-7z"/><path class="gp" d="M-9-1H9"/><path class="gl" d="M-6-4v3M6-4v3"/>` +
		`<path class="gx" d="M-4-10l3 3 5-5"/>`},
}

// gateWidth is the room a gate takes on the line of time.
const gateWidth = 22

// put draws the gate with its ground line at a point.
func (g Gate) put(c *canvas, x, y float64) {
	c.put(`<use href="#`, gateShapes[g].id, `" x="`, x, `" y="`, y, `"/>`)
}
