package rules

import (
	"fmt"
	"slices"
	"strings"

	"gaugerod/scheduler"
)

func (c *checker) checkPlaces() {
	for k := range c.job.Places {
		p := &c.job.Places[k]
		s := about("place", p.ID, p.Pos)
		c.title(s, "title", p.Title)
		if p.Within != "" {
			c.known(s, "within", p.Within, &c.places)
		}
		if p.Room < 0 || p.Room > maxCount {
			c.fault(s, "room", fmt.Sprint(p.Room), fmt.Sprintf("has room for %d tasks", p.Room), "write how many tasks fit at once, or leave room out where there is no limit")
		}
		if p.Week != nil {
			c.week(s, p.Week)
		}
		c.closures(fmt.Sprintf("closure of place %q", p.ID), p.Closures)
	}
	c.checkPlaceLoops()
	c.checkNesting()
}

// maxNesting is how deep places may lie within each other.
const maxNesting = 40

// checkNesting finds places that lie too deep, the first of each branch.
func (c *checker) checkNesting() {
	for k := range c.job.Places {
		at, ok, depth := k, true, 1
		for ; ok && depth <= maxNesting+1; depth++ {
			at, ok = c.within(at)
		}
		if !ok && depth == maxNesting+2 {
			p := &c.job.Places[k]
			c.fault(about("place", p.ID, p.Pos), "within", string(p.Within), fmt.Sprintf("lies within %d others, one within the other", maxNesting),
				fmt.Sprintf("nest places less than %d deep", maxNesting))
		}
	}
}

// checkPlaceLoops finds places that lie within themselves, each loop once.
func (c *checker) checkPlaceLoops() {
	const onPath, done = 1, 2
	seen := make([]byte, len(c.job.Places))
	for first := range c.job.Places {
		var path []int
		at, ok := first, true
		for ; ok && seen[at] == 0; at, ok = c.within(at) {
			seen[at] = onPath
			path = append(path, at)
		}
		if ok && seen[at] == onPath {
			c.faultPlaceLoop(path[slices.Index(path, at):])
		}
		for _, k := range path {
			seen[k] = done
		}
	}
}

// within is the place around a place, by index.
func (c *checker) within(k int) (int, bool) {
	around, ok := c.places.at[c.job.Places[k].Within]
	return around, ok
}

func (c *checker) faultPlaceLoop(loop []int) {
	p := &c.job.Places[loop[0]]
	chain := make([]string, 0, len(loop)+1)
	for _, k := range append(loop, loop[0]) {
		chain = append(chain, string(c.job.Places[k].ID))
	}
	if len(chain) > 8 {
		chain = append(chain[:7], "…", chain[0])
	}
	c.fault(about("place", p.ID, p.Pos), "within", string(p.Within),
		"lies within itself: "+strings.Join(chain, " within "), "let one of them lie within nothing or within another place")
}

// related says whether two places are the same or one lies within the other.
func (c *checker) related(a, b scheduler.ID) bool {
	return c.inside(a, b) || c.inside(b, a)
}

// inside says whether place a is b or lies within it. A loop in the tree ends the walk.
func (c *checker) inside(a, b scheduler.ID) bool {
	for range maxNesting {
		if a == b {
			return true
		}
		k, ok := c.places.at[a]
		if !ok {
			return false
		}
		a = c.job.Places[k].Within
	}
	return a == b
}
