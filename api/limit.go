package api

import (
	recent "container/list"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// allowance is how many requests of one kind somebody may make: so many at once,
// and one more each time a while has passed.
type allowance struct {
	burst int
	each  time.Duration
}

// mostLimited is how many who ask are remembered at once. When there are more, who
// has not asked for longest is forgotten, and so may ask anew: the memory is bounded,
// and a guess still has to be made from very many addresses.
const mostLimited = 20_000

// limiter remembers how often each of many has asked lately. It is of one instance:
// behind a proxy with n instances somebody gets up to n times as much.
type limiter struct {
	now  func() time.Time
	most int

	mu    sync.Mutex
	asked map[string]*recent.Element
	order *recent.List // of *asker, who asked last at the front
}

type asker struct {
	key  string
	rate *rate.Limiter
}

func newLimiter(now func() time.Time, most int) *limiter {
	return &limiter{now: now, most: most, asked: make(map[string]*recent.Element), order: recent.New()}
}

// take is one request more of whoever the key stands for. It returns how long they
// have to wait where it is too many, which is then not counted; else 0.
func (l *limiter) take(key string, may allowance) time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	e, known := l.asked[key]
	if known {
		l.order.MoveToFront(e)
	} else {
		if l.order.Len() >= l.most {
			oldest := l.order.Back()
			l.order.Remove(oldest)
			delete(l.asked, oldest.Value.(*asker).key)
		}
		e = l.order.PushFront(&asker{key, rate.NewLimiter(rate.Every(may.each), may.burst)})
		l.asked[key] = e
	}
	now := l.now()
	taken := e.Value.(*asker).rate.ReserveN(now, 1)
	if wait := taken.DelayFrom(now); wait > 0 {
		taken.CancelAt(now)
		return wait
	}
	return 0
}

// neighbourhood stands for an address where addresses are counted: of IPv6 the
// network, for one subscriber has all addresses of it.
func neighbourhood(address string) string {
	at, err := netip.ParseAddr(address)
	if err != nil {
		return "unknown"
	}
	at = at.Unmap().WithZone("")
	if at.Is4() {
		return at.String()
	}
	network, err := at.Prefix(64)
	if err != nil {
		return at.String()
	}
	return network.String()
}
