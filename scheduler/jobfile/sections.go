package jobfile

import "gaugerod/scheduler"

// sectionsByKey are the sections of a job file by their keys: everything in it but what
// the job says of itself.
var sectionsByKey = map[string]section{
	"closures": listOf(func(j *scheduler.Job) *[]scheduler.Closure { return &j.Closures }, func(x *scheduler.Closure, at scheduler.Pos) { x.Pos = at }, nil),
	"people":   listOf(func(j *scheduler.Job) *[]scheduler.Person { return &j.People }, func(x *scheduler.Person, at scheduler.Pos) { x.Pos = at }, func(p *scheduler.Person) string { return string(p.ID) }),
	"trades":   listOf(func(j *scheduler.Job) *[]scheduler.Trade { return &j.Trades }, tradePos, func(t *scheduler.Trade) string { return string(t.ID) }),
	"gear":     listOf(func(j *scheduler.Job) *[]scheduler.Gear { return &j.Gear }, func(x *scheduler.Gear, at scheduler.Pos) { x.Pos = at }, func(g *scheduler.Gear) string { return string(g.ID) }),
	"places":   listOf(func(j *scheduler.Job) *[]scheduler.Place { return &j.Places }, placePos, func(p *scheduler.Place) string { return string(p.ID) }),
	"tasks": things[scheduler.Task]{
		in:  func(j *scheduler.Job) *[]scheduler.Task { return &j.Tasks },
		pos: func(t *scheduler.Task, at scheduler.Pos) { t.Pos = at },
		id:  func(t *scheduler.Task) string { return string(t.ID) },
		lay: func(j *scheduler.Job, part []scheduler.Task, d *document) {
			after := afterOf(j, part, taskStep)
			for k := range part {
				d.tasks = append(d.tasks, task{part[k], after[part[k].ID]})
			}
		},
		take: func(d *document) (all []scheduler.Task) {
			for k := range d.tasks {
				all = append(all, d.tasks[k].Task)
			}
			return all
		},
		with: func(d *document) []scheduler.Wait { return d.tasks[0].after },
		step: taskStep,
	},
	"holds": things[scheduler.Hold]{
		in:  func(j *scheduler.Job) *[]scheduler.Hold { return &j.Holds },
		pos: func(h *scheduler.Hold, at scheduler.Pos) { h.Pos = at },
		id:  func(h *scheduler.Hold) string { return string(h.ID) },
		lay: func(j *scheduler.Job, part []scheduler.Hold, d *document) {
			after := afterOf(j, part, holdStep)
			for k := range part {
				d.holds = append(d.holds, hold{part[k], after[part[k].ID]})
			}
		},
		take: func(d *document) (all []scheduler.Hold) {
			for k := range d.holds {
				all = append(all, d.holds[k].Hold)
			}
			return all
		},
		with: func(d *document) []scheduler.Wait { return d.holds[0].after },
		step: holdStep,
	},
	"orders": things[scheduler.Order]{
		in:  func(j *scheduler.Job) *[]scheduler.Order { return &j.Orders },
		pos: orderPos,
		id:  func(o *scheduler.Order) string { return string(o.ID) },
		lay: func(j *scheduler.Job, part []scheduler.Order, d *document) {
			after := afterOf(j, part, (*scheduler.Order).FirstStep)
			for k := range part {
				d.orders = append(d.orders, order{part[k], after[part[k].FirstStep()]})
			}
		},
		take: func(d *document) (all []scheduler.Order) {
			for k := range d.orders {
				all = append(all, d.orders[k].Order)
			}
			return all
		},
		with: func(d *document) []scheduler.Wait { return d.orders[0].after },
		step: (*scheduler.Order).FirstStep,
	},
	"typicals": things[scheduler.Typical]{
		in:  func(j *scheduler.Job) *[]scheduler.Typical { return &j.Typicals },
		pos: typicalPos,
		id:  func(t *scheduler.Typical) string { return string(t.ID) },
		lay: func(_ *scheduler.Job, part []scheduler.Typical, d *document) {
			for k := range part {
				d.typicals = append(d.typicals, newTypical(&part[k]))
			}
		},
		take: func(d *document) (all []scheduler.Typical) {
			for k := range d.typicals {
				all = append(all, d.typicals[k].whole())
			}
			return all
		},
	},
	"build-ups":   listOf(func(j *scheduler.Job) *[]scheduler.BuildUp { return &j.BuildUps }, buildUpPos, func(b *scheduler.BuildUp) string { return string(b.ID) }),
	"drawings":    listOf(func(j *scheduler.Job) *[]scheduler.Drawing { return &j.Drawings }, func(x *scheduler.Drawing, at scheduler.Pos) { x.Pos = at }, func(d *scheduler.Drawing) string { return string(d.ID) }),
	"waits":       apart{},
	"occupations": listOf(func(j *scheduler.Job) *[]scheduler.Occupation { return &j.Occupations }, func(x *scheduler.Occupation, at scheduler.Pos) { x.Pos = at }, func(o *scheduler.Occupation) string { return string(o.ID) }),
	"dues":        listOf(func(j *scheduler.Job) *[]scheduler.Due { return &j.Dues }, func(x *scheduler.Due, at scheduler.Pos) { x.Pos = at }, func(d *scheduler.Due) string { return string(d.ID) }),
	"facts":       listOf(func(j *scheduler.Job) *[]scheduler.Fact { return &j.Facts }, func(x *scheduler.Fact, at scheduler.Pos) { x.Pos = at }, func(f *scheduler.Fact) string { return string(f.Step) }),
	"waivers":     listOf(func(j *scheduler.Job) *[]scheduler.Waiver { return &j.Waivers }, func(x *scheduler.Waiver, at scheduler.Pos) { x.Pos = at }, nil),
	"pins":        listOf(func(j *scheduler.Job) *[]scheduler.Pin { return &j.Pins }, func(x *scheduler.Pin, at scheduler.Pos) { x.Pos = at }, nil),
	"asides":      listOf(func(j *scheduler.Job) *[]scheduler.Aside { return &j.Asides }, func(x *scheduler.Aside, at scheduler.Pos) { x.Pos = at }, nil),
	"issues":      listOf(func(j *scheduler.Job) *[]scheduler.Issue { return &j.Issues }, func(x *scheduler.Issue, at scheduler.Pos) { x.Pos = at }, func(i *scheduler.Issue) string { return i.Letter }),
	"promises":    listOf(func(j *scheduler.Job) *[]scheduler.Promise { return &j.Promises }, func(x *scheduler.Promise, at scheduler.Pos) { x.Pos = at }, func(p *scheduler.Promise) string { return p.Window }),
	"answers":     listOf(func(j *scheduler.Job) *[]scheduler.Answer { return &j.Answers }, func(x *scheduler.Answer, at scheduler.Pos) { x.Pos = at }, nil),
}

func taskStep(t *scheduler.Task) scheduler.ID { return t.ID }
func holdStep(h *scheduler.Hold) scheduler.ID { return h.ID }
