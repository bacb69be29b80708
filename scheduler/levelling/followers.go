package levelling

// followers counts, for pairs of steps with a mark, how often the one comes before the
// other. A step has few, so they are looked through one after the other.
type followers struct {
	head []int32 // by step: the number of its first follower and 1; 0: none
	list []follower
}

type follower struct {
	then, mark int32
	count      int32
	next       int32 // as head
}

func newFollowers(steps, room int) followers {
	return followers{head: make([]int32, steps), list: make([]follower, 0, room)}
}

func (l *followers) find(first, then, mark int32) *follower {
	for k := l.head[first]; k > 0; k = l.list[k-1].next {
		if at := &l.list[k-1]; at.then == then && at.mark == mark {
			return at
		}
	}
	return nil
}

func (l *followers) add(first, then, mark, n int32) {
	if at := l.find(first, then, mark); at != nil {
		at.count += n
		return
	}
	l.list = append(l.list, follower{then: then, mark: mark, count: n, next: l.head[first]})
	l.head[first] = int32(len(l.list))
}

func (l *followers) has(first, then, mark int32) bool {
	at := l.find(first, then, mark)
	return at != nil && at.count > 0
}
