package levelling

func (s *serial) before(i, j int32) bool {
	if s.priority[i] != s.priority[j] {
		return s.priority[i] < s.priority[j]
	}
	return i < j
}

// priorityQueue is the eligible steps, the smallest priority first: a heap without the
// calls that container/heap makes for each comparison.
type priorityQueue struct {
	s     *serial
	items []int32
}

func (q *priorityQueue) init() {
	for k := len(q.items)/2 - 1; k >= 0; k-- {
		q.sink(k)
	}
}

func (q *priorityQueue) push(i int32) {
	q.items = append(q.items, i)
	q.rise(len(q.items) - 1)
}

func (q *priorityQueue) pop() int32 { return q.remove(0) }

// remove takes out the item at k.
func (q *priorityQueue) remove(k int) int32 {
	i, last := q.items[k], len(q.items)-1
	q.items[k] = q.items[last]
	q.items = q.items[:last]
	if k < last {
		q.sink(k)
		q.rise(k)
	}
	return i
}

func (q *priorityQueue) rise(k int) {
	i := q.items[k]
	for k > 0 {
		above := (k - 1) / 2
		if !q.s.before(i, q.items[above]) {
			break
		}
		q.items[k] = q.items[above]
		k = above
	}
	q.items[k] = i
}

func (q *priorityQueue) sink(k int) {
	i := q.items[k]
	for below := 2*k + 1; below < len(q.items); below = 2*k + 1 {
		if below+1 < len(q.items) && q.s.before(q.items[below+1], q.items[below]) {
			below++
		}
		if !q.s.before(q.items[below], i) {
			break
		}
		q.items[k] = q.items[below]
		k = below
	}
	q.items[k] = i
}
