package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type buildUpRow struct {
	ordered
	ID      scheduler.ID `json:"id" db:"key"`
	Title   string       `json:"title"`
	Outward string       `json:"outward"`
}

var buildUps = content[buildUpRow]{
	name: "build_up", kind: "build-up",
	split: func(j *scheduler.Job) (rows []buildUpRow) {
		for k := range j.BuildUps {
			b := &j.BuildUps[k]
			rows = append(rows, buildUpRow{ID: b.ID, Title: b.Title, Outward: b.Outward})
		}
		return rows
	},
	join: func(j *joiner, rows []buildUpRow) {
		for _, r := range rows {
			j.job.BuildUps = append(j.job.BuildUps, scheduler.BuildUp{ID: r.ID, Title: r.Title, Outward: r.Outward})
		}
		j.buildUps = byName(j.job.BuildUps, func(b *scheduler.BuildUp) scheduler.ID { return b.ID })
	},
}

type buildUpPlace struct {
	ordered
	Owner  scheduler.ID `json:"build_up" db:"owner"`
	Member scheduler.ID `json:"place" db:"key"`
}

var buildUpPlaces = links[buildUpPlace]("build_up_place", "build-up", "places",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.BuildUps {
			do(job.BuildUps[k].ID, job.BuildUps[k].Places)
		}
	},
	func(j *joiner, id scheduler.ID) *[]scheduler.ID { return &j.buildUps[id].Places })

type layerRow struct {
	ordered
	BuildUp   scheduler.ID   `json:"build_up" db:"key"`
	ID        scheduler.ID   `json:"id" db:"key"`
	Title     string         `json:"title"`
	Material  string         `json:"material"`
	Thickness int            `json:"thickness"`
	By        scheduler.ID   `json:"by_step"`
	Cure      worktime.Span  `json:"cure"`
	Exposed   *worktime.Span `json:"exposed"`
	Source    string         `json:"source"`
}

var layers = content[layerRow]{
	name: "layer", kind: "layer",
	split: func(j *scheduler.Job) (rows []layerRow) {
		eachLayer(j, func(b scheduler.ID, l *scheduler.Layer) {
			rows = append(rows, layerRow{
				BuildUp: b, ID: l.ID, Title: l.Title, Material: l.Material, Thickness: l.Thickness,
				By: l.By, Cure: l.Cure, Exposed: l.Exposed, Source: l.Source,
			})
		})
		return rows
	},
	join: func(j *joiner, rows []layerRow) {
		for _, r := range rows {
			b := j.buildUps[r.BuildUp]
			b.Layers = append(b.Layers, scheduler.Layer{
				ID: r.ID, Title: r.Title, Material: r.Material, Thickness: r.Thickness,
				By: r.By, Cure: r.Cure, Exposed: r.Exposed, Source: r.Source,
			})
		}
		j.layers = make(map[[2]scheduler.ID]*scheduler.Layer, len(rows))
		eachLayer(j.job, func(b scheduler.ID, l *scheduler.Layer) { j.layers[[2]scheduler.ID{b, l.ID}] = l })
	},
}

func eachLayer(j *scheduler.Job, do func(buildUp scheduler.ID, l *scheduler.Layer)) {
	for k := range j.BuildUps {
		for n := range j.BuildUps[k].Layers {
			do(j.BuildUps[k].ID, &j.BuildUps[k].Layers[n])
		}
	}
}

type layerSeen struct {
	ordered
	BuildUp scheduler.ID `json:"build_up" db:"owner"`
	Layer   scheduler.ID `json:"layer" db:"owner"`
	Hold    scheduler.ID `json:"hold" db:"key"`
}

var layersSeen = content[layerSeen]{
	name: "layer_seen", kind: "layer", list: "seen",
	split: func(j *scheduler.Job) (rows []layerSeen) {
		eachLayer(j, func(b scheduler.ID, l *scheduler.Layer) {
			for _, hold := range l.Seen {
				rows = append(rows, layerSeen{BuildUp: b, Layer: l.ID, Hold: hold})
			}
		})
		return rows
	},
	join: func(j *joiner, rows []layerSeen) {
		for _, r := range rows {
			l := j.layers[[2]scheduler.ID{r.BuildUp, r.Layer}]
			l.Seen = append(l.Seen, r.Hold)
		}
	},
}
