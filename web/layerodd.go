package web

import (
	"slices"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/web/draw"
)

// compareStands says how the places of a build-up stand to each other: alike, or
// which are behind and ahead.
func (v *layerView) compareStands(u *scheduler.BuildUp, stands []stand) []Line {
	lines := v.unseenAt(u, stands)
	if len(stands) == 1 {
		return append(lines, say(v.place(stands[0].place)+": "+onOf(stands[0].laid(), len(u.Layers))+"."))
	}
	byLaid := map[int][]scheduler.ID{}
	var counts []int
	for k := range stands {
		n := stands[k].laid()
		if byLaid[n] == nil {
			counts = append(counts, n)
		}
		byLaid[n] = append(byLaid[n], stands[k].place)
	}
	slices.Sort(counts)
	if len(counts) == 1 {
		return append(lines, say("All "+number(len(stands), "place")+" stand alike: "+onOf(counts[0], len(u.Layers))+"."))
	}
	usual := -1
	for _, n := range counts {
		if len(byLaid[n])*2 > len(stands) {
			usual = n
		}
	}
	if usual < 0 && len(counts) == 2 {
		usual = counts[1] // as many here as there: the one are behind the other
	}
	if usual < 0 {
		var parts []string
		for _, n := range counts {
			parts = append(parts, v.placeNames(byLaid[n])+" "+number0(n))
		}
		return append(lines, say("Layers on, of "+number0(len(u.Layers))+": "+strings.Join(parts, "; ")+"."))
	}
	for _, n := range counts {
		if n == usual {
			continue
		}
		verb, others := " is ", " the others."
		if len(byLaid[n]) > 1 {
			verb = " are "
		}
		if len(counts) == 2 && len(byLaid[n]) == len(byLaid[usual]) {
			others = " " + v.placeNames(byLaid[usual]) + "."
		}
		if n < usual {
			lines = append(lines, say(heavy(v.placeNames(byLaid[n])), verb+number(usual-n, "layer")+" behind"+others))
		} else {
			lines = append(lines, say(heavy(v.placeNames(byLaid[n])), verb+number(n-usual, "layer")+" ahead of"+others))
		}
	}
	if len(byLaid[usual])*2 > len(stands) {
		lines = append(lines, say("At most places "+onOf(usual, len(u.Layers))+"."))
	}
	return lines
}

// unseenAt flags every layer that was covered before it was released.
func (v *layerView) unseenAt(u *scheduler.BuildUp, stands []stand) (lines []Line) {
	for k := range u.Layers {
		var places []scheduler.ID
		for s := range stands {
			if stands[s].states[k] == draw.CoveredUnseen {
				places = append(places, stands[s].place)
			}
		}
		if len(places) > 0 {
			lines = append(lines, say(heavy(u.Layers[k].Title+" was covered before it was seen"), ": "+v.placeNames(places)+"."))
		}
	}
	return lines
}

// onOf is how many layers are on: "2 of 5 layers are on".
func onOf(n, all int) string {
	switch {
	case n == 0 && all == 1:
		return "its one layer is not on yet"
	case n == 0:
		return "none of " + number(all, "layer") + " is on yet"
	case n == all:
		return "all is on"
	case n == 1:
		return "one of " + number(all, "layer") + " is on"
	}
	word, _, _ := strings.Cut(number(n, "layer"), " ")
	return word + " of " + number(all, "layer") + " are on"
}
