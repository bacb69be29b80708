package jobfile

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// mapping is a value that is described by a table of its own and is part of a thing.
func mapping[T any](t *table[T], blank func(T) bool) codec[T] {
	return codec[T]{
		inner: t.outline(),
		blank: blank,
		read: func(r *reader, at spot, n *yaml.Node, into *T) bool {
			*into = t.fresh
			part := spot{thing: at.String(), pos: position(n)}
			faults := len(r.faults)
			return t.read(r, part, n, into) && len(r.faults) == faults
		},
		write: func(v T) *yaml.Node { return t.write(&v) },
	}
}

// optional is a value that may be missing from its thing.
func optional[V any](c codec[V]) codec[*V] {
	return codec[*V]{
		inner: c.inner,
		blank: func(v *V) bool { return v == nil },
		read: func(r *reader, at spot, n *yaml.Node, into **V) bool {
			v := new(V)
			if !c.read(r, at, n, v) {
				return false
			}
			*into = v
			return true
		},
		write: func(v *V) *yaml.Node { return c.write(*v) },
	}
}

// named is things under their names: name: {…}.
func named[T any, N ~string](what string, t *table[T], self func(*T) (*N, *scheduler.Pos)) codec[[]T] {
	return codec[[]T]{
		inner: t.outline(),
		blank: func(all []T) bool { return len(all) == 0 },
		read: func(r *reader, at spot, n *yaml.Node, into *[]T) bool {
			if !r.mapping(at, n) {
				return false
			}
			for _, p := range r.pairs(at, n) {
				thing := t.fresh
				id, pos := self(&thing)
				*id, *pos = N(p.key.Value), position(p.key)
				r.things[*pos] = p.value
				s := spot{thing: fmt.Sprintf("%s %s", what, short(p.key.Value)), pos: *pos}
				if !t.read(r, s, p.value, &thing) {
					r.breaks(s)
				}
				*into = append(*into, thing)
			}
			return true
		},
		write: func(all []T) *yaml.Node {
			m := &yaml.Node{Kind: yaml.MappingNode}
			for k := range all {
				id, _ := self(&all[k])
				m.Content = append(m.Content, word(string(*id)), t.write(&all[k]))
			}
			return m
		},
	}
}

// listed is things without names, one after the other. They are called what they
// are and of what, for instance `wait of task "tape"`.
func listed[T any](what string, t *table[T], pos func(*T) *scheduler.Pos) codec[[]T] {
	return codec[[]T]{
		inner: t.outline(),
		blank: func(all []T) bool { return len(all) == 0 },
		read: func(r *reader, at spot, n *yaml.Node, into *[]T) bool {
			if !r.sequence(at, n) {
				return false
			}
			for _, item := range n.Content {
				thing := t.fresh
				*pos(&thing) = position(item)
				r.things[position(item)] = item
				s := spot{thing: what + " of " + at.thing, pos: position(item)}
				if !t.read(r, s, item, &thing) {
					r.breaks(s)
					continue // nothing refers to it
				}
				*into = append(*into, thing)
			}
			return true
		},
		write: func(all []T) *yaml.Node {
			l := &yaml.Node{Kind: yaml.SequenceNode}
			for k := range all {
				l.Content = append(l.Content, t.write(&all[k]))
			}
			return l
		},
	}
}
