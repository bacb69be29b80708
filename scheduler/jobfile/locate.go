package jobfile

import (
	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

// addRules notes what the rules say of the job, each at the value that it is
// about, and leaves out what follows from a value that could not be read.
func (r *reader) addRules(job *scheduler.Job) {
	for _, f := range rules.Check(job) {
		if r.couldNotRead(f) {
			continue
		}
		f.Pos = r.locate(f)
		r.add(f)
	}
}

// keysOf are the keys under which a file may hold what the rules call a field.
func keysOf(field string) []string {
	switch field {
	case "trades":
		return []string{"trade", "trades"}
	case "places":
		return []string{"place", "places"}
	case "from":
		return []string{"from", "finish", "start"}
	}
	return []string{field}
}

func (r *reader) couldNotRead(f scheduler.Fault) bool {
	if r.broken[brokenKey{thing: f.Pos}] {
		return true
	}
	if f.Field == "" && f.Text == "" { // about all that the thing says
		return r.incomplete[f.Pos]
	}
	for _, name := range keysOf(f.Field) {
		if r.broken[brokenKey{f.Pos, name}] {
			return true
		}
	}
	return false
}

// locate finds the offending text within the thing that a fault is about: in the
// value of its field, else that value, else the thing.
func (r *reader) locate(f scheduler.Fault) scheduler.Pos {
	thing := r.things[f.Pos]
	for _, name := range keysOf(f.Field) {
		value := valueOf(thing, name)
		if value == nil {
			continue
		}
		if f.Text != "" {
			if n := r.withText(value, f.Text); n != nil {
				return position(n)
			}
		}
		return position(value)
	}
	switch {
	case f.Pos != (scheduler.Pos{}):
		return f.Pos
	case thing == nil:
		return scheduler.Pos{Line: elsewhere + len(jobTable.keys)} // what the job says of itself is not in this text
	}
	return position(r.root)
}

func valueOf(thing *yaml.Node, name string) *yaml.Node {
	if thing == nil || thing.Kind != yaml.MappingNode || name == "" {
		return nil
	}
	for k := 0; k+1 < len(thing.Content); k += 2 {
		if thing.Content[k].Value == name {
			return thing.Content[k+1]
		}
	}
	return nil
}

// withText is the last single value in a node with a text: where a name is there
// twice, it is the second that is one too many. Nil where there is none, or where
// a hostile file has taken too long already.
func (r *reader) withText(n *yaml.Node, text string) *yaml.Node {
	if r.visits--; r.visits < 0 {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		if n.Value == text {
			return n
		}
		return nil
	}
	for k := len(n.Content) - 1; k >= 0; k-- {
		if found := r.withText(n.Content[k], text); found != nil {
			return found
		}
	}
	return nil
}
