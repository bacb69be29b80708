package levelling

import (
	"cmp"
	"math"
	"slices"
)

// envelope says in one go whether between the earliest start of any item of a crowd and
// the latest finish of any other more must be done than can be: a tree over the items
// by earliest start, with the work below each node and the greatest of what can be
// done before an earliest start and the work from there on (Vilím, "Edge finding
// filtering algorithm for discrete cumulative resources in O(kn log n)", CP 2009).
type envelope struct {
	leaf  []int32 // by item
	first int32   // the number of the first leaf
	nodes []envelopeNode
}

type envelopeNode struct{ work, most int64 }

// nothing is less than any work, and can be added to.
const nothing = math.MinInt64 / 4

func newEnvelope(from []int64) *envelope {
	order := make([]int32, len(from))
	for k := range order {
		order[k] = int32(k)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(from[a], from[b]), cmp.Compare(a, b)) })
	e := &envelope{leaf: make([]int32, len(from)), first: 1}
	for int(e.first) < len(from) {
		e.first *= 2
	}
	for k, item := range order {
		e.leaf[item] = e.first + int32(k)
	}
	e.nodes = make([]envelopeNode, 2*e.first)
	return e
}

// overloaded puts the items in by latest finish and looks each time at all that are in.
func (e *envelope) overloaded(c *crowd, size int64) bool {
	for k := range e.nodes {
		e.nodes[k] = envelopeNode{most: nothing}
	}
	for _, o := range c.order {
		work := c.energy[o.item]
		at := e.leaf[o.item]
		e.nodes[at] = envelopeNode{work: work, most: size*c.from[o.item] + work}
		for at /= 2; at > 0; at /= 2 {
			left, right := &e.nodes[2*at], &e.nodes[2*at+1]
			e.nodes[at] = envelopeNode{work: left.work + right.work, most: max(right.most, left.most+right.work)}
		}
		if e.nodes[1].most > size*o.until {
			return true
		}
	}
	return false
}
