package expand

import "gaugerod/scheduler"

// markWaived marks the waits that a waiver lifts: those between its two points,
// where a point that names "typical.local" is that of every instance.
func markWaived(net *scheduler.Network) {
	if len(net.Job.Waivers) == 0 {
		return
	}
	lifted := make(map[[2]scheduler.Point]bool, len(net.Job.Waivers))
	for _, w := range net.Job.Waivers {
		lifted[[2]scheduler.Point{w.From, w.To}] = true
	}
	for k := range net.Waits {
		for _, pair := range namedPairs(net, k) {
			if lifted[pair] {
				net.Waived[k] = true
				break
			}
		}
	}
}

// WaiverOf is the first waiver, in the order of the file, that lifts a wait of an
// expanded network.
func WaiverOf(net *scheduler.Network, wait int) (scheduler.Waiver, bool) {
	pairs := namedPairs(net, wait)
	for _, w := range net.Job.Waivers {
		for _, pair := range pairs {
			if pair == [2]scheduler.Point{w.From, w.To} {
				return w, true
			}
		}
	}
	return scheduler.Waiver{}, false
}

// namedPairs is a wait's two points in the four ways in which people may name
// them: each as one step or as every instance of its typical's step.
func namedPairs(net *scheduler.Network, wait int) [4][2]scheduler.Point {
	from, to := net.Waits[wait].From, net.Waits[wait].To
	anyFrom, anyTo := everyInstance(net, from), everyInstance(net, to)
	return [4][2]scheduler.Point{{from, to}, {from, anyTo}, {anyFrom, to}, {anyFrom, anyTo}}
}

func everyInstance(net *scheduler.Network, p scheduler.Point) scheduler.Point {
	if k, ok := net.Find(p.Step); ok && net.Steps[k].Typical != "" {
		p.Step = net.Steps[k].Typical + "." + net.Steps[k].Local
	}
	return p
}
