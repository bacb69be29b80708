package jobfile

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// codec is how values of one kind are read from a node and written as one.
type codec[V any] struct {
	read  func(r *reader, at spot, n *yaml.Node, into *V) bool // false: a fault was noted
	write func(V) *yaml.Node
	blank func(V) bool // says nothing: left out where it may be
	inner *outline     // of the mapping it holds or repeats, nil for plain values
}

// key is one key of a mapping and the part of the thing that it holds.
type key[T any] struct {
	name  string
	must  bool
	read  func(r *reader, at spot, n *yaml.Node, into *T) bool
	write func(from *T) *yaml.Node // nil: left out
	inner *outline
}

// table is the keys of one kind of mapping, in the order in which they are written.
type table[T any] struct {
	name    string // of its definition in the schema
	keys    []key[T]
	oneOf   []string   // exactly one of these keys is there
	notBoth [][]string // at most one of each pair
	fresh   T          // what it says before anything is read
}

// outline is a table without its type: its keys and what they hold.
type outline struct {
	name    string
	keys    []outlineKey
	oneOf   []string
	notBoth [][]string
}

type outlineKey struct {
	name  string
	must  bool
	inner *outline
}

func (t *table[T]) outline() *outline {
	o := &outline{name: t.name, oneOf: t.oneOf, notBoth: t.notBoth}
	for _, k := range t.keys {
		o.keys = append(o.keys, outlineKey{k.name, k.must, k.inner})
	}
	return o
}

// must is a key that is always there.
func must[T, V any](name string, c codec[V], at func(*T) *V) key[T] {
	k := may(name, c, at)
	k.must = true
	k.write = func(from *T) *yaml.Node { return c.write(*at(from)) }
	return k
}

// may is a key that may be left out.
func may[T, V any](name string, c codec[V], at func(*T) *V) key[T] {
	return key[T]{
		name:  name,
		inner: c.inner,
		read:  func(r *reader, s spot, n *yaml.Node, into *T) bool { return c.read(r, s, n, at(into)) },
		write: func(from *T) *yaml.Node {
			if v := *at(from); !c.blank(v) {
				return c.write(v)
			}
			return nil
		},
	}
}

// read reads a mapping by the table; at is the thing it describes.
func (t *table[T]) read(r *reader, at spot, n *yaml.Node, into *T) bool {
	if !r.mapping(at, n) {
		return false
	}
	pairs := r.pairs(at, n)
	there := map[string]*yaml.Node{}
	for _, p := range pairs {
		there[p.key.Value] = p.key
	}
	for _, p := range pairs {
		k, ok := t.find(r, at, p.key, there)
		if ok && !k.read(r, at.in(k.name), p.value, into) {
			r.breaks(at.in(k.name))
		}
	}
	t.checkKeys(r, at, n, there)
	return true
}

// find is the key of the table that a word means. A word that is not known is a
// fault; where it is nearly one that is missing, the value is read as that one, so
// that one slip does not bring a second fault.
func (t *table[T]) find(r *reader, at spot, word *yaml.Node, there map[string]*yaml.Node) (*key[T], bool) {
	var names, missing []string
	for k := range t.keys {
		name := t.keys[k].name
		if name == word.Value {
			return &t.keys[k], true
		}
		names = append(names, name)
		if there[name] == nil {
			missing = append(missing, name)
		}
	}
	mend := "the keys here are " + strings.Join(names, ", ")
	near, found := r.meant(word.Value, names)
	if found {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	r.fault(at, word, fmt.Sprintf("has the key %s, which is not known", short(word.Value)), mend)
	if !found || !slices.Contains(missing, near) {
		return nil, false
	}
	there[near] = word
	return &t.keys[slices.Index(names, near)], true
}

// checkKeys finds keys that are missing, and keys that exclude each other.
func (t *table[T]) checkKeys(r *reader, at spot, n *yaml.Node, there map[string]*yaml.Node) {
	missing := func(field, what, mend string) {
		pos := at.pos
		if pos == (scheduler.Pos{}) {
			pos = position(n)
		}
		r.add(scheduler.Fault{Pos: pos, Field: field, What: at.thing + " " + what, Mend: mend})
		r.breaks(at.in(field))
	}
	for _, k := range t.keys {
		if k.must && there[k.name] == nil {
			missing(k.name, fmt.Sprintf("has no %q", k.name), "add "+k.name+": and what it is")
		}
	}
	both := func(names []string) bool {
		var have []string
		for _, name := range names {
			if there[name] != nil {
				have = append(have, name)
			}
		}
		if len(have) > 1 {
			r.fault(at, there[have[1]], "has both "+have[0]+" and "+have[1], "leave one of them out")
		}
		return len(have) > 0
	}
	if len(t.oneOf) > 0 && !both(t.oneOf) {
		words := strings.Join(t.oneOf, " nor ")
		missing(t.oneOf[0], "has neither "+words, "write one of them")
	}
	for _, names := range t.notBoth {
		both(names)
	}
}

// write is the thing as a mapping.
func (t *table[T]) write(from *T) *yaml.Node {
	m := &yaml.Node{Kind: yaml.MappingNode}
	for _, k := range t.keys {
		if v := k.write(from); v != nil {
			m.Content = append(m.Content, scalar("", k.name), v)
		}
	}
	return m
}

func word(s string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s}
}
