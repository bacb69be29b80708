package randomjob

import "gaugerod/scheduler"

// drawings draws by what work is done, and what is said of the site. It comes last and
// moves nothing.
func (g *maker) drawings() {
	if !g.has(Drawings) || g.chance(30) {
		return
	}
	g.job.Site = scheduler.Site{Parking: "in the street", Power: "at the hut"}
	for k := range g.between(1, 4) {
		d := scheduler.Drawing{ID: name("sheet", k), Title: "Sheet"}
		if g.chance(70) {
			d.Revision = scheduler.Letter(k)
			on := g.job.Start
			d.On = &on
		}
		if g.chance(60) {
			for _, p := range some(g, g.job.Places, 3) {
				d.Places = append(d.Places, p.ID)
			}
		}
		if len(d.Places) == 0 || g.chance(50) {
			for _, n := range some(g, g.nodes, 3) {
				d.Steps = append(d.Steps, n.id)
			}
		}
		g.job.Drawings = append(g.job.Drawings, d)
	}
}
