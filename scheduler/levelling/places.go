package levelling

import (
	"slices"

	"gaugerod/scheduler"
)

// rooms makes the limits of places with room for so many steps at once: a step in
// the place, or below it, takes one. Steps that an occupation of the room admits
// share the occupation's.
func (b *builder) rooms() {
	net := b.p.Graph.Net
	for i := range net.Steps {
		if !b.takes(i) {
			continue
		}
		for _, place := range b.surrounding(net.Steps[i].Places) {
			if place.Room > 0 && !b.shares(place, i) {
				b.use(b.limit(Room, place.ID, place.Room), 1, int32(i), int32(i), -1)
			}
		}
	}
	for k := range net.Occupations {
		o := &net.Occupations[k]
		if o.Place == "" || o.Alone {
			continue
		}
		for _, place := range b.surrounding([]scheduler.ID{o.Place}) {
			if place.Room > 0 {
				b.occupy(b.limit(Room, place.ID, place.Room), 1, k)
			}
		}
	}
}

// shares says whether step i shares the room of an occupation in the place or
// below it.
func (b *builder) shares(place *scheduler.Place, i int) bool {
	for k := range b.p.Graph.Net.Occupations {
		o := &b.p.Graph.Net.Occupations[k]
		if o.Place != "" && !o.Alone && b.inside(o.Place, place.ID) && b.sharing(k)[int32(i)] {
			return true
		}
	}
	return false
}

// surrounding is the places themselves and those around them, each once.
func (b *builder) surrounding(ids []scheduler.ID) []*scheduler.Place {
	var list []*scheduler.Place
	for _, id := range ids {
		for p := b.within[id]; p != nil; p = b.within[p.Within] {
			known := false
			for _, q := range list {
				known = known || q == p
			}
			if known {
				break
			}
			list = append(list, p)
		}
	}
	return list
}

// inside says whether a place is another or lies in it.
func (b *builder) inside(id, outer scheduler.ID) bool {
	for p := b.within[id]; p != nil; p = b.within[p.Within] {
		if p.ID == outer {
			return true
		}
	}
	return false
}

// meets says whether two places share anything: one is the other or in it.
func (b *builder) meets(a, c scheduler.ID) bool { return b.inside(a, c) || b.inside(c, a) }

// alone makes a limit for each place that somebody needs alone, and one for each
// occupation of a whole place. It has the size of all that are in or around the
// place; who needs it alone takes all of it, everybody else one.
func (b *builder) alone() {
	net := b.p.Graph.Net
	seen := map[scheduler.ID]bool{}
	for i := range net.Steps {
		if !net.Steps[i].Alone || !b.takes(i) {
			continue
		}
		for _, place := range net.Steps[i].Places {
			if !seen[place] {
				seen[place] = true
				b.alonePlace(place)
			}
		}
	}
	for k := range net.Occupations {
		if o := &net.Occupations[k]; o.Place != "" && o.Alone {
			b.aloneOccupation(k)
		}
	}
}

func (b *builder) alonePlace(place scheduler.ID) {
	net := b.p.Graph.Net
	members := b.members(place, nil)
	l := b.limit(Alone, place, len(members))
	for _, i := range members {
		amount := int32(1)
		if s := &net.Steps[i]; s.Alone && slices.Contains(s.Places, place) {
			amount = int32(len(members))
		}
		b.use(l, amount, i, i, -1)
	}
}

func (b *builder) aloneOccupation(k int) {
	o := &b.p.Graph.Net.Occupations[k]
	members := b.members(o.Place, o)
	l := b.limit(Alone, o.ID, len(members)+1)
	b.occupy(l, int32(len(members)+1), k)
	for _, i := range members {
		b.use(l, 1, i, i, -1)
	}
}

// members is the steps that are in a place, below it or in one around it, but for
// those that an occupation admits.
func (b *builder) members(place scheduler.ID, o *scheduler.Occupation) []int32 {
	net := b.p.Graph.Net
	var members []int32
	for i := range net.Steps {
		if !b.takes(i) || o != nil && admits(o, net.Steps[i].ID) {
			continue
		}
		for _, q := range net.Steps[i].Places {
			if b.meets(q, place) {
				members = append(members, int32(i))
				break
			}
		}
	}
	return members
}
