package scheduler

import "slices"

// MoveLayer puts a layer of a build-up after another one, or first where after is
// empty, at every place that has the build-up. What belongs to the layer goes with
// it: its cure, who must see it and how long it may stay open. The waits between the
// layers follow from the new order; those that are written elsewhere stay.
func (j *Job) MoveLayer(buildUp, layer, after ID) error {
	u := j.FindBuildUp(buildUp)
	if u == nil {
		return refuse(ErrNotFound, "build_up", "", "no build-up is called %q", buildUp)
	}
	from := u.layerAt(layer)
	if from < 0 {
		return refuse(ErrNotFound, "layer", "", "the build-up %s has no layer %q", buildUp, layer)
	}
	if after == layer {
		return refuse(ErrImpossible, "after", "name another layer, or none for the first place", "a layer cannot come after itself")
	}
	to := 0
	if after != "" {
		k := u.layerAt(after)
		if k < 0 {
			return refuse(ErrNotFound, "after", "", "the build-up %s has no layer %q", buildUp, after)
		}
		to = k + 1
	}
	if to == from {
		return refuse(ErrAlready, "after", "", "%s is there already", orTitle(u.Layers[from].Title, layer))
	}
	moved := u.Layers[from]
	layers := slices.Delete(slices.Clone(u.Layers), from, from+1) // others may still read the old order
	if to > from {
		to--
	}
	u.Layers = slices.Insert(layers, to, moved)
	return nil
}

// FindBuildUp is the build-up of an ID, nil where there is none.
func (j *Job) FindBuildUp(id ID) *BuildUp {
	for k := range j.BuildUps {
		if j.BuildUps[k].ID == id {
			return &j.BuildUps[k]
		}
	}
	return nil
}

// layerAt is which layer it is, from 0; below 0: the build-up has none of that ID.
func (u *BuildUp) layerAt(id ID) int {
	return slices.IndexFunc(u.Layers, func(l Layer) bool { return l.ID == id })
}

func orTitle(title string, id ID) string {
	if title != "" {
		return title
	}
	return string(id)
}
