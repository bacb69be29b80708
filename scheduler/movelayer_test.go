package scheduler_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
)

func skin() *scheduler.Job {
	return &scheduler.Job{ID: "shed", BuildUps: []scheduler.BuildUp{{
		ID: "skin", Layers: []scheduler.Layer{{ID: "frame"}, {ID: "board", Title: "Board", Seen: ids{"nailing"}}, {ID: "skin"}, {ID: "cladding"}},
	}}}
}

func orderOf(j *scheduler.Job) (all ids) {
	for _, l := range j.FindBuildUp("skin").Layers {
		all = append(all, l.ID)
	}
	return all
}

func TestMoveLayer(t *testing.T) {
	for _, c := range []struct {
		layer, after scheduler.ID
		want         ids
	}{
		{"board", "skin", ids{"frame", "skin", "board", "cladding"}},
		{"board", "cladding", ids{"frame", "skin", "cladding", "board"}},
		{"board", "", ids{"board", "frame", "skin", "cladding"}},
		{"cladding", "frame", ids{"frame", "cladding", "board", "skin"}},
		{"frame", "board", ids{"board", "frame", "skin", "cladding"}},
		{"cladding", "", ids{"cladding", "frame", "board", "skin"}},
	} {
		j := skin()
		was := j.BuildUps[0].Layers
		must(t, j.MoveLayer("skin", c.layer, c.after))
		if diff := cmp.Diff(c.want, orderOf(j)); diff != "" {
			t.Errorf("%s after %q: %s", c.layer, c.after, diff)
		}
		if was[0].ID != "frame" || was[1].ID != "board" || was[3].ID != "cladding" {
			t.Errorf("%s after %q: the old order was written over: %v", c.layer, c.after, was)
		}
		for _, l := range j.BuildUps[0].Layers {
			if l.ID == "board" && len(l.Seen) != 1 {
				t.Error("who must see the layer did not go with it")
			}
		}
	}
}

func TestMoveLayerRefused(t *testing.T) {
	for _, c := range []struct {
		buildUp, layer, after scheduler.ID
		kind                  error
		field                 string
	}{
		{"roof", "board", "", scheduler.ErrNotFound, "build_up"},
		{"skin", "tiles", "", scheduler.ErrNotFound, "layer"},
		{"skin", "board", "tiles", scheduler.ErrNotFound, "after"},
		{"skin", "board", "board", scheduler.ErrImpossible, "after"},
		{"skin", "board", "frame", scheduler.ErrAlready, "after"},
		{"skin", "frame", "", scheduler.ErrAlready, "after"},
	} {
		j := skin()
		err := j.MoveLayer(c.buildUp, c.layer, c.after)
		var r *scheduler.Refusal
		if !errors.As(err, &r) || !errors.Is(err, c.kind) || r.Field != c.field {
			t.Errorf("%s %s after %q: %v", c.buildUp, c.layer, c.after, err)
		}
		if diff := cmp.Diff(skin(), j); diff != "" {
			t.Errorf("the job has changed: %s", diff)
		}
	}
}
