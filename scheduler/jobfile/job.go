package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// document is a job as a file holds it: waits stand with the steps that wait.
type document struct {
	head     scheduler.Job // everything but steps and waits
	tasks    []task
	holds    []hold
	orders   []order
	typicals []typical
	waits    []scheduler.Wait // those that stand apart
}

var jobTable = table[document]{
	name: "job",
	keys: []key[document]{
		must("job", name, func(d *document) *scheduler.ID { return &d.head.ID }),
		must("title", text, func(d *document) *string { return &d.head.Title }),
		must("zone", text, func(d *document) *string { return &d.head.Zone }),
		must("start", date, func(d *document) *worktime.Date { return &d.head.Start }),
		may("as-of", optional(date), func(d *document) **worktime.Date { return &d.head.AsOf }),
		may("day", span, func(d *document) *worktime.Span { return &d.head.Day }),
		must("week", week, func(d *document) *worktime.Week { return &d.head.Week }),
		may("closures", closures("closure"), func(d *document) *[]scheduler.Closure { return &d.head.Closures }),
		may("site", site, func(d *document) *scheduler.Site { return &d.head.Site }),
		may("people", people, func(d *document) *[]scheduler.Person { return &d.head.People }),
		may("trades", trades, func(d *document) *[]scheduler.Trade { return &d.head.Trades }),
		may("gear", gear, func(d *document) *[]scheduler.Gear { return &d.head.Gear }),
		may("places", places, func(d *document) *[]scheduler.Place { return &d.head.Places }),
		may("tasks", tasks, func(d *document) *[]task { return &d.tasks }),
		may("holds", holds, func(d *document) *[]hold { return &d.holds }),
		may("orders", orders, func(d *document) *[]order { return &d.orders }),
		may("typicals", typicals, func(d *document) *[]typical { return &d.typicals }),
		may("build-ups", buildUps, func(d *document) *[]scheduler.BuildUp { return &d.head.BuildUps }),
		may("drawings", drawings, func(d *document) *[]scheduler.Drawing { return &d.head.Drawings }),
		may("waits", waits, func(d *document) *[]scheduler.Wait { return &d.waits }),
		may("occupations", occupations, func(d *document) *[]scheduler.Occupation { return &d.head.Occupations }),
		may("dues", dues, func(d *document) *[]scheduler.Due { return &d.head.Dues }),
		may("facts", facts, func(d *document) *[]scheduler.Fact { return &d.head.Facts }),
		may("waivers", waivers, func(d *document) *[]scheduler.Waiver { return &d.head.Waivers }),
		may("pins", pins, func(d *document) *[]scheduler.Pin { return &d.head.Pins }),
		may("asides", asides, func(d *document) *[]scheduler.Aside { return &d.head.Asides }),
		may("issues", issues, func(d *document) *[]scheduler.Issue { return &d.head.Issues }),
		may("promises", promises, func(d *document) *[]scheduler.Promise { return &d.head.Promises }),
		may("answers", answers, func(d *document) *[]scheduler.Answer { return &d.head.Answers }),
	},
}

// sections are the keys under which things are named that others refer to.
var sections = []string{"people", "trades", "gear", "places", "tasks", "holds", "orders", "typicals"}

// job is the job that the document describes, in canonical form.
func (d *document) job() *scheduler.Job {
	job := d.head
	for k := range d.tasks {
		t := &d.tasks[k]
		job.Tasks = append(job.Tasks, t.Task)
		job.Waits = append(job.Waits, into(t.ID, t.after)...)
	}
	for k := range d.holds {
		h := &d.holds[k]
		job.Holds = append(job.Holds, h.Hold)
		job.Waits = append(job.Waits, into(h.ID, h.after)...)
	}
	for k := range d.orders {
		o := &d.orders[k]
		job.Orders = append(job.Orders, o.Order)
		job.Waits = append(job.Waits, into(o.FirstStep(), o.after)...)
	}
	for k := range d.typicals {
		job.Typicals = append(job.Typicals, d.typicals[k].whole())
	}
	job.Waits = append(job.Waits, d.waits...)
	job.CanonicalWaits()
	return &job
}

// into is the waits that stand under "after" of a step.
func into(step scheduler.ID, after []scheduler.Wait) []scheduler.Wait {
	for k := range after {
		after[k].To = scheduler.Point{Step: step}
	}
	return after
}

// newDocument lays a job out as a file holds it.
func newDocument(job *scheduler.Job) *document {
	d := &document{head: *job}
	apart := newSorter(job.Waits)
	for k := range job.Tasks {
		t := &job.Tasks[k]
		d.tasks = append(d.tasks, task{*t, apart.take(t.ID)})
	}
	for k := range job.Holds {
		h := &job.Holds[k]
		d.holds = append(d.holds, hold{*h, apart.take(h.ID)})
	}
	for k := range job.Orders {
		o := &job.Orders[k]
		d.orders = append(d.orders, order{*o, apart.take(o.FirstStep())})
	}
	for k := range job.Typicals {
		d.typicals = append(d.typicals, newTypical(&job.Typicals[k]))
	}
	d.waits = apart.rest()
	return d
}

// sorter hands waits out to the steps that wait.
type sorter struct {
	waits []scheduler.Wait
	into  map[scheduler.ID][]int // by the step into whose start they go
	taken []bool
}

func newSorter(waits []scheduler.Wait) *sorter {
	s := &sorter{waits: waits, into: map[scheduler.ID][]int{}, taken: make([]bool, len(waits))}
	for k := range waits {
		if waits[k].To.End == scheduler.Start {
			s.into[waits[k].To.Step] = append(s.into[waits[k].To.Step], k)
		}
	}
	return s
}

// take is the waits into the start of a step, which are then no longer there.
func (s *sorter) take(step scheduler.ID) []scheduler.Wait {
	var after []scheduler.Wait
	for _, k := range s.into[step] {
		s.taken[k] = true
		after = append(after, s.waits[k])
	}
	delete(s.into, step)
	return after
}

func (s *sorter) rest() []scheduler.Wait {
	var rest []scheduler.Wait
	for k := range s.waits {
		if !s.taken[k] {
			rest = append(rest, s.waits[k])
		}
	}
	return rest
}
