package office

import (
	"fmt"
	"slices"

	"gaugerod/scheduler"
)

// open is what a trade must not cover, or must leave open, until it has been looked at.
func (v *mineView) open(w *scheduler.Window) []MyLayer {
	all := make([]MyLayer, 0)
	for k := range v.Plan.Covers {
		c := &v.Plan.Covers[k]
		puts, covers := slices.Contains(w.Steps, c.Step), slices.Contains(w.Steps, c.CoveredBy)
		step := v.steps[c.Step]
		if len(c.Unseen) == 0 || puts == covers || step == nil {
			continue
		}
		if l := (MyLayer{Title: step.Title, Own: puts}); !slices.Contains(all, l) {
			all = append(all, l)
		}
	}
	return all
}

// brings is what the layers of a window are made of, as the build-ups say it.
func (v *mineView) brings(w *scheduler.Window) []string {
	all := make([]string, 0)
	for k := range v.Network.Covers {
		c := &v.Network.Covers[k]
		at := slices.IndexFunc(v.Job.BuildUps, func(b scheduler.BuildUp) bool { return b.ID == c.BuildUp })
		if at < 0 {
			continue
		}
		layers := v.Job.BuildUps[at].Layers
		n := slices.IndexFunc(layers, func(l scheduler.Layer) bool { return l.ID == c.Layer })
		if n < 0 {
			continue
		}
		if slices.Contains(w.Steps, c.Step) {
			all = addMaterials(all, layers, layers[n].By)
		}
		if n+1 < len(layers) && slices.Contains(w.Steps, c.CoveredBy) {
			all = addMaterials(all, layers, layers[n+1].By)
		}
	}
	return all
}

// addMaterials adds the materials of the layers that one step puts there.
func addMaterials(all []string, layers []scheduler.Layer, by scheduler.ID) []string {
	for k := range layers {
		l := &layers[k]
		if l.By != by || l.Material == "" {
			continue
		}
		what := l.Material
		if l.Thickness > 0 {
			what += fmt.Sprintf(", %d mm", l.Thickness)
		}
		if !slices.Contains(all, what) {
			all = append(all, what)
		}
	}
	return all
}

// gear is what the steps of a window hold while they run.
func (v *mineView) gear(w *scheduler.Window) []string {
	all := make([]string, 0)
	for _, id := range w.Steps {
		k, ok := v.Network.Find(id)
		if !ok {
			continue
		}
		for _, g := range v.Network.Steps[k].Gear {
			at := slices.IndexFunc(v.Job.Gear, func(o scheduler.Gear) bool { return o.ID == g })
			if at >= 0 && !slices.Contains(all, v.Job.Gear[at].Title) {
				all = append(all, v.Job.Gear[at].Title)
			}
		}
	}
	return all
}

// builtBy is the drawings by which the steps of a window are done.
func (v *mineView) builtBy(w *scheduler.Window) []MyDrawing {
	all := make([]MyDrawing, 0)
	for _, d := range v.Drawings().Of(w.Steps...) {
		all = append(all, MyDrawing{ID: d.ID, Title: d.Title, Revision: d.Revision, On: d.On})
	}
	return all
}
