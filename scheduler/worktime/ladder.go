package worktime

import (
	"math"
	"sort"
)

// scan is how many items are looked at one after the other before halving is quicker.
const scan = 8

// ladder finds the place of a value in an ascending list by one shift: it cuts the
// range of values into equal parts, up to two for each item of the list, and keeps
// for each part the last item at or below its start. Where the items lie about
// evenly, as working periods do, the item sought is that one or the next.
type ladder struct {
	items []int32 // from 0 on, and one more at the end, beyond all values that are asked for
	shift uint
	at    []int32 // at[b]: the last item at or below b<<shift
}

// parts is up to how many parts a ladder has for each item.
const parts = 2

// beyond ends the lists of instants, and a calendar reaches no further after its first
// one: that is some 4,000 years.
const beyond = math.MaxInt32

// lay lays the ladder over its items, to be asked for values up to last; end is the
// one more item. A list without items has no place for any value.
func (l *ladder) lay(last, end int32) {
	n := len(l.items)
	l.items = append(l.items, end)
	if n == 0 {
		return
	}
	for int(last)>>l.shift > parts*n {
		l.shift++
	}
	l.at = make([]int32, last>>l.shift+1)
	b := 0 // up to here the parts are laid
	for k := 0; k+1 < n && b < len(l.at); k++ {
		end := min(int((l.items[k+1]-1)>>l.shift)+1, len(l.at)) // from here their feet lie at the next item or above
		for ; b < end; b++ {
			l.at[b] = int32(k)
		}
	}
	for ; b < len(l.at); b++ {
		l.at[b] = int32(n - 1)
	}
}

// find is the index of the last item at or below v, -1 where there is none. The
// first step up from the foot of v's part is counted and not asked for: a processor
// guesses what such questions come to, and here many of its guesses would be wrong.
func (l *ladder) find(v int64) int {
	b := v >> (l.shift & 63)
	if uint64(b) >= uint64(len(l.at)) {
		return l.outside(v)
	}
	k := int(l.at[b])
	k += oneIf(int64(l.items[k+1]), v)
	if int64(l.items[k+1]) > v {
		return k
	}
	return l.climb(k, int(b), v)
}

// oneIf is 1 where a <= b, else 0.
func oneIf(a, b int64) int { return int(uint64(a-b-1) >> 63) }

// outside is find for a value that no part holds.
func (l *ladder) outside(v int64) int {
	if v < 0 {
		return -1
	}
	return len(l.items) - 2
}

// climb is find from item k of part b on, for lists that are uneven there.
func (l *ladder) climb(k, b int, v int64) int {
	top := len(l.items) - 2
	if b+1 < len(l.at) {
		top = int(l.at[b+1])
	}
	if top-k > scan {
		return k + sort.Search(top-k, func(i int) bool { return int64(l.items[k+i+1]) > v })
	}
	for int64(l.items[k+1]) <= v {
		k++
	}
	return k
}
