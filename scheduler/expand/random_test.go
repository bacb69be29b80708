package expand_test

import (
	"fmt"
	"slices"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/randomjob"
)

// TestRandomJobsExpandAsTheModelSays holds the expansion of random jobs against a
// second one, written plainly from the documents of the model with nothing but
// loops over lists.
func TestRandomJobsExpandAsTheModelSays(t *testing.T) {
	many := 400
	if testing.Short() {
		many = 50
	}
	waits, covers, waived := 0, 0, 0
	for seed := range uint64(many) {
		job := randomjob.New(seed, randomjob.Size{Steps: 5 + int(seed)%60})
		net, err := expand.Expand(job)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		same(t, fmt.Sprintf("seed %d: job afterwards", seed), job, randomjob.New(seed, randomjob.Size{Steps: 5 + int(seed)%60}))

		p := plainly(job)
		var steps, got []string
		for _, s := range net.Steps {
			steps = append(steps, string(s.ID))
		}
		for k, w := range net.Waits {
			got = append(got, fmt.Sprint(plainLine(w), net.Waived[k]))
			waits++
			if net.Waived[k] {
				waived++
			}
		}
		slices.Sort(got)
		slices.Sort(p.waits)
		same(t, fmt.Sprintf("seed %d: steps", seed), steps, p.steps)
		same(t, fmt.Sprintf("seed %d: waits", seed), got, p.waits)
		covers += len(net.Covers)
		if t.Failed() {
			return
		}
	}
	if waits == 0 || covers == 0 || waived == 0 {
		t.Errorf("%d waits, %d covers, %d waived: the random jobs left something out", waits, covers, waived)
	}
}

type plain struct {
	job   *scheduler.Job
	steps []string
	typ   []string // the typical of each step
	waits []string
}

func plainLine(w scheduler.Wait) string {
	most := "none"
	if w.Most != nil {
		most = w.Most.String()
	}
	return fmt.Sprint(w.From, " > ", w.To, " least ", w.Least, " most ", most, " ")
}

func plainly(job *scheduler.Job) *plain {
	p := &plain{job: job}
	add := func(id, typical scheduler.ID) {
		p.steps, p.typ = append(p.steps, string(id)), append(p.typ, string(typical))
	}
	for _, x := range job.Tasks {
		add(x.ID, "")
	}
	for _, x := range job.Holds {
		add(x.ID, "")
	}
	for _, o := range job.Orders {
		for _, g := range o.Stages {
			add(o.ID+"."+g.ID, "")
		}
		add(o.ID+".delivery", "")
	}
	for _, y := range job.Typicals {
		for _, place := range y.Places {
			for _, x := range y.Tasks {
				add(place+"."+x.ID, y.ID)
			}
			for _, x := range y.Holds {
				add(place+"."+x.ID, y.ID)
			}
		}
	}
	for _, w := range job.Waits {
		p.join(w, "", "")
	}
	for _, o := range job.Orders {
		chain := []scheduler.ID{}
		for _, g := range o.Stages {
			chain = append(chain, o.ID+"."+g.ID)
		}
		chain = append(chain, o.ID+".delivery")
		for k := range chain[1:] {
			p.join(scheduler.Wait{From: finish(chain[k]), To: start(chain[k+1])}, "", "")
		}
	}
	for _, y := range job.Typicals {
		for _, place := range y.Places {
			for _, w := range y.Waits {
				p.join(w, y.ID, place)
			}
		}
	}
	p.layers()
	return p
}

func (p *plain) layers() {
	for _, b := range p.job.BuildUps {
		for _, place := range b.Places {
			for k := range len(b.Layers) - 1 {
				l, by := b.Layers[k], p.mean(b.Layers[k].By, "", place)[0]
				next := p.mean(b.Layers[k+1].By, "", place)[0]
				if by == next {
					continue
				}
				p.write(scheduler.Wait{From: finish(by), To: start(next), Least: l.Cure})
				for _, name := range l.Seen {
					for _, h := range p.mean(name, "", place) {
						p.write(scheduler.Wait{From: finish(h), To: start(next)})
					}
				}
				if l.Exposed != nil {
					p.write(scheduler.Wait{From: start(by), To: finish(next), Most: l.Exposed})
				}
			}
		}
	}
}

func (p *plain) join(w scheduler.Wait, typical, place scheduler.ID) {
	for _, from := range p.mean(w.From.Step, typical, place) {
		for _, to := range p.mean(w.To.Step, typical, place) {
			x := w
			x.From.Step, x.To.Step = from, to
			p.write(x)
		}
	}
}

// mean is the steps that a name means, tried in the order of the documents.
func (p *plain) mean(name, typical, place scheduler.ID) []scheduler.ID {
	if typical != "" && p.is(place+"."+name, typical) {
		return []scheduler.ID{place + "." + name}
	}
	if slices.Contains(p.steps, string(name)) {
		return []scheduler.ID{name}
	}
	var all []scheduler.ID
	for _, y := range p.job.Typicals {
		for _, at := range y.Places {
			for k, id := range p.steps {
				local := len(at) + 1
				if p.typ[k] == string(y.ID) && id == string(at)+"."+id[min(local, len(id)):] && name == y.ID+"."+scheduler.ID(id[min(local, len(id)):]) {
					if at == place {
						return []scheduler.ID{scheduler.ID(id)}
					}
					all = append(all, scheduler.ID(id))
				}
			}
		}
	}
	return all
}

func (p *plain) is(id, typical scheduler.ID) bool {
	for k := range p.steps {
		if p.steps[k] == string(id) && p.typ[k] == string(typical) {
			return true
		}
	}
	return false
}

func (p *plain) write(w scheduler.Wait) {
	lifted := false
	for _, v := range p.job.Waivers {
		// Every instance: a waiver's name means these steps when written outside typicals.
		lifted = lifted || v.From.End == w.From.End && v.To.End == w.To.End &&
			slices.Contains(p.mean(v.From.Step, "", ""), w.From.Step) &&
			slices.Contains(p.mean(v.To.Step, "", ""), w.To.Step)
	}
	p.waits = append(p.waits, fmt.Sprint(plainLine(w), lifted))
}
