package worktime

import "sort"

// scan is how many items are looked at one after the other before halving is quicker.
const scan = 8

// ladder finds the place of a value in an ascending list by one shift: it cuts the
// range of values into equal parts, about four for each item of the list, and keeps
// for each part the last item at or below its start. Where the items lie about
// evenly, as working periods do, the item sought is that one or the next.
type ladder struct {
	items []int64 // and one more at the end, beyond all values that are asked for
	first int64   // items[0]
	shift uint
	at    []int32 // at[b]: the last item at or below first + b<<shift
}

// beyond ends the lists of instants. It leaves room for differences.
const beyond = 1 << 62

// lay lays the ladder over its items, to be asked for values up to last; end is the
// one more item. A list without items has no place for any value.
func (l *ladder) lay(last, end int64) {
	n := len(l.items)
	l.items = append(l.items, end)
	l.first = l.items[0]
	if n == 0 {
		return
	}
	for (last-l.first)>>l.shift > int64(4*n) {
		l.shift++
	}
	l.at = make([]int32, (last-l.first)>>l.shift+1)
	b := 0 // up to here the parts are laid
	for k := 0; k+1 < n && b < len(l.at); k++ {
		end := min(int((l.items[k+1]-l.first-1)>>l.shift)+1, len(l.at)) // from here their feet lie at the next item or above
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
	b := (v - l.first) >> (l.shift & 63)
	if uint64(b) >= uint64(len(l.at)) {
		return l.outside(v)
	}
	k := int(l.at[b])
	k += oneIf(l.items[k+1], v)
	if l.items[k+1] > v {
		return k
	}
	return l.climb(k, int(b), v)
}

// oneIf is 1 where a <= b, else 0.
func oneIf(a, b int64) int { return int(uint64(a-b-1) >> 63) }

// outside is find for a value that no part holds.
func (l *ladder) outside(v int64) int {
	if v < l.first {
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
		return k + sort.Search(top-k, func(i int) bool { return l.items[k+i+1] > v })
	}
	for l.items[k+1] <= v {
		k++
	}
	return k
}
