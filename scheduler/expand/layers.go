package expand

import "gaugerod/scheduler"

// addLayers makes the waits and covers of every build-up at each of its places.
func (e *expansion) addLayers() {
	for k := range e.job.BuildUps {
		b := &e.job.BuildUps[k]
		for _, place := range b.Places {
			e.addLayersAt(b, place)
		}
	}
}

func (e *expansion) addLayersAt(b *scheduler.BuildUp, place scheduler.ID) {
	at := scope{place: place}
	origin := "layers of " + orName(b.Title, b.ID) + " at " + e.placeTitle(place) + ": "
	laid := make([]scheduler.ID, len(b.Layers)) // the step that lays each layer
	known := make([]bool, len(b.Layers))
	for k := range b.Layers {
		laid[k], known[k] = e.single(b.Layers[k].By, at, b.Layers[k].Pos)
	}
	for k := 0; k+1 < len(b.Layers); k++ {
		if !known[k] || !known[k+1] || laid[k] == laid[k+1] {
			continue
		}
		e.addCover(covering{
			buildUp: b.ID, place: place, origin: origin,
			layer: &b.Layers[k], next: &b.Layers[k+1], step: laid[k], by: laid[k+1],
		})
	}
}

// covering is one layer at one place with the layer that goes over it.
type covering struct {
	buildUp, place scheduler.ID
	origin         string
	layer, next    *scheduler.Layer
	step, by       scheduler.ID // lays the layer, lays the next one
}

func (e *expansion) addCover(c covering) {
	layer, next := orName(c.layer.Title, c.layer.ID), orName(c.next.Title, c.next.ID)
	start := scheduler.Point{Step: c.by, End: scheduler.Start}
	over := scheduler.Wait{
		From: scheduler.Point{Step: c.step, End: scheduler.Finish}, To: start,
		Least: c.layer.Cure, Reason: scheduler.Buried,
		Origin: c.origin + layer + " before " + next, Pos: c.layer.Pos,
	}
	if !c.layer.Cure.Zero() {
		over.Reason, over.Source = scheduler.Cure, c.layer.Source
	}
	e.join(over)

	seen := e.addSeen(c, layer, next)
	if c.layer.Exposed != nil {
		e.join(scheduler.Wait{
			From: scheduler.Point{Step: c.step, End: scheduler.Start},
			To:   scheduler.Point{Step: c.by, End: scheduler.Finish},
			Most: c.layer.Exposed, Reason: scheduler.Exposure, Source: c.layer.Source,
			Origin: c.origin + layer + " open no longer than " + c.layer.Exposed.String() + ", until " + next + " is on",
			Pos:    c.layer.Pos,
		})
	}
	e.covers = append(e.covers, scheduler.Cover{
		BuildUp: c.buildUp, Place: c.place, Layer: c.layer.ID, LayerName: layer,
		Step: c.step, CoveredBy: c.by, Seen: seen,
		Exposed: c.layer.Exposed, Source: c.layer.Source, Pos: c.layer.Pos,
	})
}

// addSeen makes the next layer wait for each hold that must see this one. A hold
// of a typical that is not repeated at the place means every instance of it.
func (e *expansion) addSeen(c covering, layer, next string) []scheduler.ID {
	var seen []scheduler.ID
	for _, name := range c.layer.Seen {
		holds := e.resolve(nil, name, scope{place: c.place})
		if len(holds) == 0 {
			e.unknown(name, c.layer.Pos)
		}
		for _, hold := range holds {
			title := e.at(hold).Title
			e.join(scheduler.Wait{
				From:   scheduler.Point{Step: hold, End: scheduler.Finish},
				To:     scheduler.Point{Step: c.by, End: scheduler.Start},
				Reason: scheduler.Buried, Pos: c.layer.Pos,
				Origin: c.origin + layer + " seen (" + title + ") before " + next,
			})
		}
		seen = append(seen, holds...)
	}
	return seen
}
