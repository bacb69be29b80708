package jobfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/nearest"
)

// reader is a file being read.
type reader struct {
	root       *yaml.Node
	faults     scheduler.Faults
	things     map[scheduler.Pos]*yaml.Node // what stands at the position of each thing
	broken     map[brokenKey]bool           // what could not be read, so that rules need not speak of it
	incomplete map[scheduler.Pos]bool       // things of which a part could not be read
	more       int                          // faults beyond those that are told
	looks      int                          // for keys that were meant, still allowed
	visits     int                          // of values while a fault is located, still allowed
}

type brokenKey struct {
	thing scheduler.Pos
	field string // empty: the whole thing
}

func newReader() *reader {
	return &reader{things: map[scheduler.Pos]*yaml.Node{}, broken: map[brokenKey]bool{}, incomplete: map[scheduler.Pos]bool{}, looks: 1000, visits: 5_000_000}
}

// spot is what is being read: a thing, and the key of it.
type spot struct {
	thing string // `task "frame"`
	pos   scheduler.Pos
	field string
}

func (at spot) in(field string) spot {
	at.field = field
	return at
}

// String is in words: takes of task "frame".
func (at spot) String() string {
	if at.field == "" {
		return at.thing
	}
	return at.field + " of " + at.thing
}

// add notes a fault. A file of nothing but faults is not told to its end.
func (r *reader) add(f scheduler.Fault) {
	if len(r.faults) == maxFaults {
		r.more++
		return
	}
	if runes := []rune(f.Text); len(runes) > 200 {
		f.Text = string(runes[:200]) + "…"
	}
	r.faults = append(r.faults, f)
}

func (r *reader) faultAt(pos scheduler.Pos, text, what, mend string) {
	r.add(scheduler.Fault{Pos: pos, Text: text, What: what, Mend: mend})
}

// fault notes that a node is not what it should be; it is false, for returning.
func (r *reader) fault(at spot, n *yaml.Node, what, mend string) bool {
	r.add(scheduler.Fault{Pos: position(n), Field: at.field, Text: n.Value, What: at.String() + " " + what, Mend: mend})
	return false
}

func (r *reader) breaks(at spot) {
	r.broken[brokenKey{at.pos, at.field}] = true
	r.incomplete[at.pos] = true
}

// sectionBroken says whether a whole section of the job could not be read, so that
// nothing can be said about the names in it.
func (r *reader) sectionBroken() bool {
	return slices.ContainsFunc(sections, func(s string) bool { return r.broken[brokenKey{field: s}] })
}

// mapping says whether a node holds keys.
func (r *reader) mapping(at spot, n *yaml.Node) bool {
	if n.Kind == yaml.MappingNode {
		return true
	}
	return r.wrongKind(at, n, "keys with values (key: value)")
}

// sequence says whether a node is a list.
func (r *reader) sequence(at spot, n *yaml.Node) bool {
	if n.Kind == yaml.SequenceNode {
		return true
	}
	return r.wrongKind(at, n, "a list ([one, two], or a line with a hyphen for each)")
}

// wrongKind notes that a node is of another kind than wanted.
func (r *reader) wrongKind(at spot, n *yaml.Node, want string) bool {
	switch {
	case n.Kind == yaml.AliasNode:
		return false // told by tame
	case isNothing(n):
		return r.fault(at, n, "has nothing in it", "write "+want+", or leave it out")
	case n.Kind == yaml.MappingNode:
		return r.fault(at, n, "has keys with values in it", "write "+want)
	case n.Kind == yaml.SequenceNode:
		return r.fault(at, n, "is a list", "write "+want)
	}
	return r.fault(at, n, fmt.Sprintf("is %s", short(n.Value)), "write "+want)
}

func isNothing(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" }

// short is a text in quotation marks, cut where it is long.
func short(s string) string {
	const most = 60
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return strconv.Quote(s)
}

// pair is a key of a mapping, with where it is used.
type pair struct{ key, value *yaml.Node }

// pairs is the pairs of a mapping whose keys are words, each once.
func (r *reader) pairs(at spot, n *yaml.Node) []pair {
	first := make(map[string]*yaml.Node, len(n.Content)/2)
	all := make([]pair, 0, len(n.Content)/2)
	for k := 0; k+1 < len(n.Content); k += 2 {
		key, value := n.Content[k], n.Content[k+1]
		switch before, twice := first[key.Value]; {
		case key.Kind == yaml.AliasNode:
		case key.Kind != yaml.ScalarNode:
			r.fault(at, key, "has a key that is not a word", "write a word before the colon")
		case twice:
			r.fault(at, key, fmt.Sprintf("has %s twice, here and on line %d", short(key.Value), before.Line), "leave one of them out or give it another name")
		default:
			first[key.Value] = key
			all = append(all, pair{key, value})
		}
	}
	return all
}

// meant is the nearest of the words that could stand here.
func (r *reader) meant(word string, have []string) (string, bool) {
	if r.looks == 0 {
		return "", false
	}
	r.looks--
	return nearest.Name(word, have)
}

const mendAlias = "write it out where it is needed"

// tame finds what YAML can do and job files do not: anchors and references, tags,
// and nesting without end. References are never followed.
func (r *reader) tame(n *yaml.Node, depth int) {
	switch {
	case n.Kind == yaml.AliasNode:
		r.faultAt(position(n), "*"+n.Value, "*"+n.Value+" refers to something written elsewhere, which job files do not do", mendAlias)
		return
	case n.Anchor != "":
		r.faultAt(position(n), "&"+n.Anchor, "&"+n.Anchor+" names something to be referred to, which job files do not do", "leave it out")
	case n.Style&yaml.TaggedStyle != 0:
		r.faultAt(position(n), n.Tag, n.Tag+" is a tag, which job files do not have", "leave it out")
	}
	if depth > maxDepth {
		r.faultAt(position(n), "", "this is nested "+strconv.Itoa(depth)+" levels deep", "look at the brackets and the blanks before the keys")
		return
	}
	for _, c := range n.Content {
		r.tame(c, depth+1)
	}
}

// sorted is the faults in the order of the file.
func (r *reader) sorted(name string) scheduler.Faults {
	for k := range r.faults {
		r.faults[k].File = name
	}
	slices.SortStableFunc(r.faults, func(a, b scheduler.Fault) int {
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		if a.Pos.Column != b.Pos.Column {
			return a.Pos.Column - b.Pos.Column
		}
		return strings.Compare(a.What, b.What)
	})
	if r.more > 0 {
		last := r.faults[len(r.faults)-1].Pos
		r.faults = append(r.faults, scheduler.Fault{File: name, Pos: last, What: "there are " + strconv.Itoa(r.more) + " more faults", Mend: "mend these first"})
	}
	return slices.Compact(r.faults)
}
