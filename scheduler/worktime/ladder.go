package worktime

// scan is how many stretches are looked at one after the other before halving is
// quicker.
const scan = 8

// ladder finds the neighbourhood of a value in an ascending list by one shift: it
// cuts the range of values into equal parts, about two for each item of the list,
// and keeps for each part the last item at or below its start. Where the items lie
// about evenly, as working periods do, a part holds one or two of them.
type ladder struct {
	first int64
	shift uint
	at    []int32 // at[b]: the last item whose value is at or below first + b<<shift
}

// newLadder lays a ladder over n items with ascending values from first, to be asked
// for values from first to last.
func newLadder(n int, first, last int64, value func(k int) int64) ladder {
	l := ladder{first: first}
	for (last-first)>>l.shift > int64(2*n) {
		l.shift++
	}
	l.at = make([]int32, (last-first)>>l.shift+2)
	k := 0
	for b := range l.at {
		foot := first + int64(b)<<l.shift
		for k+1 < n && value(k+1) <= foot {
			k++
		}
		l.at[b] = int32(k)
	}
	return l
}

// rungs is the range of items, both included, in which the last one at or below v
// lies, for v >= first.
func (l *ladder) rungs(v int64) (lo, hi int) {
	b := (v - l.first) >> l.shift
	if b >= int64(len(l.at)-1) {
		last := int(l.at[len(l.at)-1])
		return last, last
	}
	return int(l.at[b]), int(l.at[b+1])
}
