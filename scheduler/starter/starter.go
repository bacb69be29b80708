// Package starter has typicals to begin a job with. They are invented: common orders of
// work, to be changed by whoever uses them.
package starter

import (
	_ "embed" // of the typicals
	"fmt"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

//go:embed starters.yaml
var text string

// Starter is a typical that a job can begin with.
type Starter struct {
	Name, Title, Says string
	Places            []string // titles of places where it may happen, as a proposal
	value             jobfile.Value
}

// All lists every starter in the order of a building.
func All() ([]Starter, error) {
	whole, err := jobfile.ParseValue(text)
	if err != nil {
		return nil, fmt.Errorf("read the starters: %w", err)
	}
	var all []Starter
	for _, e := range whole.Keys {
		s := Starter{Name: e.Key, value: e.Value, Places: words(e.Value, "places")}
		s.Title, s.Says = word(e.Value, "title"), word(e.Value, "says")
		all = append(all, s)
	}
	return all, nil
}

func word(v jobfile.Value, key string) string {
	w, _ := v.Find(key)
	return w.Word
}

func words(v jobfile.Value, key string) []string {
	list, _ := v.Find(key)
	var all []string
	for k := range list.List {
		all = append(all, list.List[k].Word)
	}
	return all
}

// Add is the job with the starter as a typical at places, and the trades, people, orders
// and hold points that are missing. It follows those starters already there that come
// before it, and those that come after follow it. Places are theirs by name; those that
// are not there are added with their titles. The job itself stays as it is.
func (s *Starter) Add(job *scheduler.Job, places []scheduler.Place) (*scheduler.Job, error) {
	whole := jobfile.Whole(job)
	if _, ok := jobfile.Find(job, "typicals", s.Name); ok {
		return nil, &scheduler.Refusal{
			Kind: scheduler.ErrImpossible, What: fmt.Sprintf("the job has the typical %q already", s.Name), Mend: "add places to it instead",
		}
	}
	ids := make([]string, len(places))
	for k, p := range places {
		ids[k] = string(p.ID)
		var v jobfile.Value
		v.Set("title", jobfile.Value{Word: p.Title})
		bring(&whole, "places", string(p.ID), v)
	}
	for from, to := range map[string]string{"people": "people", "trades": "trades", "job-holds": "holds", "orders": "orders"} {
		section, _ := s.value.Find(from)
		for _, e := range section.Keys {
			bring(&whole, to, e.Key, e.Value)
		}
	}
	var t jobfile.Value
	t.Set("title", jobfile.Value{Word: s.Title})
	t.Set("places", jobfile.Words(ids...))
	for _, key := range []string{"tasks", "holds"} {
		if v, ok := s.value.Find(key); ok {
			t.Set(key, v)
		}
	}
	bring(&whole, "typicals", s.Name, t)
	if err := s.join(&whole); err != nil {
		return nil, err
	}
	return jobfile.PutWhole(&whole)
}

// bring puts a thing into a section where none of its name is.
func bring(whole *jobfile.Value, section, name string, thing jobfile.Value) {
	in, ok := whole.Find(section)
	if !ok {
		in.Is = jobfile.Keys
	}
	if _, there := in.Find(name); there {
		return
	}
	in.Set(name, thing)
	whole.Set(section, in)
}

// join has the starters of the job follow each other.
func (s *Starter) join(whole *jobfile.Value) error {
	all, err := All()
	if err != nil {
		return err
	}
	typicals, _ := whole.Find("typicals")
	for k := range all {
		later := &all[k]
		if _, there := typicals.Find(later.Name); !there {
			continue
		}
		for _, f := range words(later.value, "follows") {
			name, local, _ := strings.Cut(f, ".")
			if later.Name != s.Name && name != s.Name {
				continue // joined when one of them came, and perhaps changed since
			}
			for n := range all {
				if _, there := typicals.Find(name); there && all[n].Name == name {
					if local == "" {
						local = word(all[n].value, "last")
					}
					t, _ := typicals.Find(later.Name)
					later.follow(&t, name+"."+local, has(typicals, name, local))
					typicals.Set(later.Name, t)
				}
			}
		}
	}
	whole.Set("typicals", typicals)
	return nil
}

// has says whether a typical still has a task of that name.
func has(typicals jobfile.Value, typical, task string) bool {
	t, _ := typicals.Find(typical)
	tasks, _ := t.Find("tasks")
	_, ok := tasks.Find(task)
	return ok
}

// follow has the first tasks of a typical wait for a step.
func (s *Starter) follow(typical *jobfile.Value, step string, there bool) {
	if !there {
		return
	}
	tasks, _ := typical.Find("tasks")
	for _, first := range words(s.value, "first") {
		task, ok := tasks.Find(first)
		if !ok {
			continue
		}
		var wait jobfile.Value
		wait.Set("finish", jobfile.Value{Word: step})
		wait.Set("reason", jobfile.Value{Word: string(scheduler.Access)})
		after, _ := task.Find("after")
		after.Is = jobfile.List
		after.List = append(after.List[:len(after.List):len(after.List)], wait)
		task.Set("after", after)
		tasks.Set(first, task)
	}
	typical.Set("tasks", tasks)
}
