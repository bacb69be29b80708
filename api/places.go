package api

import (
	"context"

	"gaugerod/scheduler"
)

// PlaceBody is a part of the building.
type PlaceBody struct {
	ID       scheduler.ID        `json:"id"`
	Title    string              `json:"title"`
	Within   scheduler.ID        `json:"within,omitempty" doc:"The place around it."`
	Room     int                 `json:"room,omitempty" doc:"How many tasks at once, here and below; left out: no limit."`
	Week     map[string][]string `json:"week,omitempty" doc:"Working periods of its own; left out: the site's."`
	Closures []ClosureBody       `json:"closures" nullable:"false"`
}

// PlacesBody is all the places of a job, in the order of the job.
type PlacesBody struct {
	Standing
	Places []PlaceBody `json:"places" nullable:"false"`
}

func (s *Server) placeRoutes() {
	register(s, get("list-places", "/jobs/{job}/places", "The places, as a tree by what each is within"),
		func(ctx context.Context, in *JobQuery) (*Answer[PlacesBody], error) {
			return answerJob(ctx, s, in, showPlaces)
		})
}

func showPlaces(j *scheduler.Job, standing Standing) (PlacesBody, error) {
	b := PlacesBody{Standing: standing, Places: make([]PlaceBody, 0, len(j.Places))}
	for _, p := range j.Places {
		place := PlaceBody{ID: p.ID, Title: p.Title, Within: p.Within, Room: p.Room, Closures: closures(p.Closures)}
		if p.Week != nil {
			place.Week = week(*p.Week)
		}
		b.Places = append(b.Places, place)
	}
	return b, nil
}
