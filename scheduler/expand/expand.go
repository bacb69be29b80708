package expand

import (
	"slices"

	"gaugerod/scheduler"
)

// Expand turns a job into its network. The job has passed rules.Check; what is
// unsound all the same comes back as scheduler.Faults, all of them. Steps come in
// the order of the file: tasks, holds, each order's stages and its delivery, each
// typical's instances place by place. Waits come in the order in which they are
// written, then those of typicals, orders and build-ups. Waits between the same
// points are all kept: the tighter acts.
//
// The network shares the job's slices; neither is to be changed afterwards.
func Expand(job *scheduler.Job) (*scheduler.Network, error) {
	e := &expansion{job: job, titles: placeTitles(job)}
	e.addSteps()
	e.net = scheduler.NewNetwork(job, e.steps, nil)
	e.indexNames()
	room := len(job.Waits) + len(e.steps)/4
	e.waits, e.ends = make([]scheduler.Wait, 0, room), make([]scheduler.Ends, 0, room)
	e.addJobWaits()
	e.addTypicalWaits()
	e.addOrderWaits()
	e.addLayers()
	e.addOccupations()
	e.checkSingleNames()
	if len(e.faults) > 0 {
		return nil, e.faults
	}
	net := e.net
	net.Waits, net.Ends, net.Waived = e.waits, e.ends, make([]bool, len(e.waits))
	net.Covers = e.covers
	net.Occupations = e.occupations
	markWaived(net)
	return net, nil
}

// expansion is a network in the making.
type expansion struct {
	job         *scheduler.Job
	titles      map[scheduler.ID]string         // places
	net         *scheduler.Network              // made as soon as the steps are there, to find them by name
	every       map[scheduler.ID][]scheduler.ID // "typical.local": its instances, in the order of the places
	steps       []scheduler.Step
	waits       []scheduler.Wait
	ends        []scheduler.Ends
	covers      []scheduler.Cover
	occupations []scheduler.Occupation
	faults      scheduler.Faults

	fromBuf, toBuf []scheduler.ID // used again for each wait
}

// fault notes a mistake, once however many places repeat it.
func (e *expansion) fault(pos scheduler.Pos, text scheduler.ID, what, mend string) {
	f := scheduler.Fault{Pos: pos, Text: string(text), What: what, Mend: mend}
	if !slices.Contains(e.faults, f) {
		e.faults = append(e.faults, f)
	}
}

func placeTitles(job *scheduler.Job) map[scheduler.ID]string {
	titles := make(map[scheduler.ID]string, len(job.Places))
	for _, p := range job.Places {
		titles[p.ID] = p.Title
	}
	return titles
}

// placeTitle is what people call a place: its title, or its name where it has none.
func (e *expansion) placeTitle(id scheduler.ID) string { return orName(e.titles[id], id) }

func orName(title string, id scheduler.ID) string {
	if title == "" {
		return string(id)
	}
	return title
}
