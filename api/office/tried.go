package office

import "sync"

// What is kept of trials: the outcomes asked for last. A trial is looked at by one or
// two people for some minutes, each look at several outcomes.
const (
	mostTried = 24
	triedRoom = 24 << 20 // bytes, about, of all of them
)

// triedShelf is the outcomes of trials asked for last, the one that nobody has asked
// for longest first.
type triedShelf struct {
	mu  sync.Mutex
	all []triedOutcome
}

type triedOutcome struct {
	key    triedKey
	is     *Tried
	weight int
}

// find is a kept outcome, nil where it is not kept.
func (s *triedShelf) find(key triedKey) *Tried {
	s.mu.Lock()
	defer s.mu.Unlock()
	for k, found := range s.all {
		if found.key == key {
			s.all = append(append(s.all[:k:k], s.all[k+1:]...), found)
			return found.is
		}
	}
	return nil
}

// keep keeps an outcome and drops the idlest ones until all have room. What is larger
// than all the room is not kept.
func (s *triedShelf) keep(key triedKey, is *Tried) {
	weight := len(is.Then.Network.Steps) * (bytesInNetwork + bytesInPlan + bytesBeside)
	if weight > triedRoom {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all = append(s.all, triedOutcome{key, is, weight})
	sum := 0
	for _, o := range s.all {
		sum += o.weight
	}
	drop := 0
	for ; sum > triedRoom || len(s.all)-drop > mostTried; drop++ {
		sum -= s.all[drop].weight
	}
	s.all = append([]triedOutcome(nil), s.all[drop:]...)
}
