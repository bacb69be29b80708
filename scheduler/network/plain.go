package network

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Lag says that one step starts at least so many minutes after the start of
// another; less than nothing is a most time read backwards.
type Lag struct {
	From, To int
	Least    int64
}

// Plain is a graph in real time without a job behind it: steps of fixed length from
// instant 0 on, with start-to-start lags.
func Plain(length []int64, lags []Lag) *Graph {
	n := len(length)
	g := &Graph{
		Calendars: []*worktime.Calendar{RealTime: worktime.Continuous(), Site: worktime.Continuous()},
		Cal:       make([]int32, n), Work: length, Rest: length, Progress: make([]Progress, n),
		Began: make([]worktime.Instant, n), Ended: make([]worktime.Instant, n),
		Release: make([]worktime.Instant, n), ReleaseBy: make([]scheduler.DriverKind, n),
		Upper: make([]worktime.Instant, n), Due: make([]worktime.Instant, n), PinOf: make([]int32, n),
	}
	for i := range n {
		g.Upper[i], g.Due[i], g.PinOf[i] = worktime.Never, worktime.Never, -1
	}
	arcs := make([]Arc, len(lags))
	for k, l := range lags {
		arcs[k] = Arc{From: int32(l.From), To: int32(l.To), Wait: -1, Limit: -1, Lag: l.Least, Most: l.Least < 0}
	}
	g.index(arcs)
	g.layOut()
	return g
}
