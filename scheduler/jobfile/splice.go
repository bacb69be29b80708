package jobfile

import (
	"cmp"
	"slices"
	"strconv"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/rules"
)

// splice is the job with a change that a text of its own makes: alone is that text, nil
// for none, and own where in it the thing is that was put. What is wrong then is told by
// where it is: in the text, or in another thing of the job.
func splice(job *scheduler.Job, alone *Value, own []string, change func(*scheduler.Job, *document)) (*scheduler.Job, error) {
	r, d := newReader(), &document{}
	readable := true
	if alone != nil {
		readable = r.readAlone(alone, d)
	}
	if readable && len(r.faults) == 0 {
		next := *job
		if change(&next, d); len(rules.Check(&next)) == 0 {
			return &next, nil
		}
	}
	if readable {
		next := *job
		stampAll(&next)
		change(&next, d)
		r.addRules(&next)
	}
	return nil, r.misfits(own, job)
}

// readAlone reads the text of a value that holds some keys of a job; it is false where
// so little of it can be read that there is nothing to put.
func (r *reader) readAlone(alone *Value, d *document) bool {
	root := r.parse([]byte(alone.String()))
	if root == nil {
		return false
	}
	r.root = root
	r.tame(root, 1)
	some := table[document]{name: jobTable.name}
	section := false
	for _, k := range jobTable.keys {
		_, there := alone.Find(k.name)
		section = section || there && sectionsByKey[k.name] != nil
	}
	for _, k := range jobTable.keys {
		if _, there := alone.Find(k.name); there || !section && sectionsByKey[k.name] == nil {
			some.keys = append(some.keys, k)
		}
	}
	if !section {
		r.things[scheduler.Pos{}] = root
	}
	return some.read(r, spot{thing: "the job"}, root, d) && !r.sectionBroken()
}

// takeHead has a job say of itself what another one does.
func takeHead(j, from *scheduler.Job) {
	j.ID, j.Title, j.Zone, j.Start, j.AsOf, j.Week, j.Day, j.Site = from.ID, from.Title, from.Zone, from.Start, from.AsOf, from.Week, from.Day, from.Site
}

// elsewhere is above every line of a text that is read alone: what has a line from
// there on is another thing of the job, in the section by which the line is greater and
// the place there that the column counts.
const elsewhere = 2 * MaxSize

// stampAll gives everything in a job a position that tells the thing that it is in.
func stampAll(job *scheduler.Job) {
	for n, key := range jobTable.keys {
		if s := sectionsByKey[key.name]; s != nil {
			s.stamp(job, func(k int) scheduler.Pos { return scheduler.Pos{Line: elsewhere + n, Column: k + 1} })
		}
	}
}

// misfits are the faults that were found, each with its path.
func (r *reader) misfits(own []string, job *scheduler.Job) Misfits {
	at := map[scheduler.Pos][]string{}
	if r.root != nil {
		paths(r.root, nil, at)
	}
	faults := r.sorted("")
	all := make(Misfits, 0, len(faults))
	for _, f := range faults {
		m := Misfit{At: slices.Clone(at[f.Pos]), Fault: f}
		if n := f.Pos.Line - elsewhere; n >= 0 && n < len(jobTable.keys) {
			name, thing := jobTable.keys[n].name, f.Pos.Column-1
			m.At = []string{name, cmp.Or(sectionsByKey[name].name(job, thing), strconv.Itoa(thing))}
		}
		if f.Field != "" && !slices.ContainsFunc(keysOf(f.Field), func(key string) bool { return slices.Contains(m.At, key) }) {
			m.At = append(m.At, f.Field)
		}
		if len(m.At) >= len(own) && slices.Equal(m.At[:len(own)], own) && f.Pos.Line < elsewhere {
			m.Own, m.At = true, m.At[len(own):]
		}
		m.Pos = scheduler.Pos{} // of a text that nobody sees
		all = append(all, m)
	}
	return all
}

// paths notes where everything in a file stands. Keys one below the other begin where
// the first of them does: that place is the key's.
func paths(n *yaml.Node, path []string, at map[scheduler.Pos][]string) {
	note := func(n *yaml.Node, path []string) {
		if _, taken := at[position(n)]; !taken {
			at[position(n)] = slices.Clone(path)
		}
	}
	switch n.Kind {
	case yaml.MappingNode:
		for k := 0; k+1 < len(n.Content); k += 2 {
			key, value := n.Content[k], n.Content[k+1]
			below := append(slices.Clone(path), key.Value)
			note(key, below)
			if value.Kind != yaml.MappingNode || value.Style&yaml.FlowStyle != 0 {
				note(value, below)
			}
			paths(value, below, at)
		}
	case yaml.SequenceNode:
		for k, item := range n.Content {
			below := append(slices.Clone(path), strconv.Itoa(k))
			note(item, below)
			paths(item, below, at)
		}
	}
}
