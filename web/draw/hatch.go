package draw

import "html/template"

// hatches are the hatchings by which trades are told apart without colour, each
// on a tile of 8 by 8. They are drawn as materials are on a section.
var hatches = [...]string{
	`<path d="M-2 2l4-4M0 8L8 0M6 10l4-4"/>`,                     // rising
	`<path d="M0 4h8"/>`,                                         // level, open
	`<circle cx="2" cy="2" r="1"/><circle cx="6" cy="6" r="1"/>`, // dots
	`<path d="M-2 6l4 4M0 0l8 8M6-2l4 4"/>`,                      // falling
	`<path d="M4 0v8"/>`,                                         // upright, open
	`<path d="M0 0l8 8M8 0L0 8"/>`,                               // crossed
	`<path d="M0 2l4 4 4-4"/>`,                                   // chevrons
	`<path d="M0 0h8M0 4h8M2 0v4M6 4v4"/>`,                       // brick
	`<path d="M0 4q2-4 4 0t4 0"/>`,                               // wave
	`<path d="M0 2h8M2 0v8"/>`,                                   // grid
	`<path d="M0 2h4M4 6h4"/>`,                                   // dashes
	`<path d="M4 2v4M2 4h4"/>`,                                   // plus
	`<path d="M0 1h8M0 3h8M0 5h8M0 7h8"/>`,                       // level, close
	`<circle cx="4" cy="4" r="2.2" fill="none"/>`,                // rings
	`<path d="M1 6l3-4 3 4z"/>`,                                  // peaks
	`<path d="M1 0v8M3 0v8M5 0v8M7 0v8"/>`,                       // upright, close
	`<path d="M-2 2l4-4M0 8L8 0M6 10l4-4M-2 6l8-8M2 10l8-8"/>`,   // rising, close
	`<path d="M4 0l4 4-4 4-4-4z"/>`,                              // lozenges
	`<circle cx="1" cy="1" r=".8"/><circle cx="5" cy="1" r=".8"/><circle cx="3" cy="5" r=".8"/><circle cx="7" cy="5" r=".8"/>`, // sand
	`<path d="M0 2q4 6 8 0M0 6q4 6 8 0"/>`, // scales
}

// Hatches is how many trades can be told apart by hatching alone.
const Hatches = len(hatches)

// Defs defines the hatchings numbered in used and the gates; once on a page.
func Defs(used []int) template.HTML {
	c := &canvas{}
	c.put(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	seen := map[int]bool{}
	for _, n := range used {
		n = fold(n)
		if seen[n] {
			continue
		}
		seen[n] = true
		c.put(`<pattern id="h`, n, `" width="8" height="8" patternUnits="userSpaceOnUse"><g class="hatch">`,
			hatches[n], `</g></pattern>`)
	}
	for _, g := range gateShapes {
		c.put(`<g id="`, g.id, `">`, g.shape, `</g>`)
	}
	c.put(`</defs>`)
	return c.close()
}

// fold brings any number to one of the hatchings.
func fold(n int) int { return ((n % Hatches) + Hatches) % Hatches }

// Swatch is a small block with a trade's hatching and its short name.
func Swatch(hatch int, short string) template.HTML {
	w := shortWidth(short) + 32
	c := open("swatch", w, 22, "")
	block(c, "k", 1, 1, w-2, 20, hatch, short)
	return c.close()
}
