package levelling

func (s *serial) before(i, j int32) bool {
	if s.priority[i] != s.priority[j] {
		return s.priority[i] < s.priority[j]
	}
	return i < j
}

// priorityQueue is the eligible steps, the smallest priority first.
type priorityQueue struct {
	s     *serial
	items []int32
}

func (q *priorityQueue) Len() int           { return len(q.items) }
func (q *priorityQueue) Less(a, b int) bool { return q.s.before(q.items[a], q.items[b]) }
func (q *priorityQueue) Swap(a, b int)      { q.items[a], q.items[b] = q.items[b], q.items[a] }
func (q *priorityQueue) Push(x any)         { q.items = append(q.items, x.(int32)) }
func (q *priorityQueue) Pop() any {
	last := len(q.items) - 1
	x := q.items[last]
	q.items = q.items[:last]
	return x
}
