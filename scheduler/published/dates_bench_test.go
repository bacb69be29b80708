package published_test

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// BenchmarkDates is earliest and latest dates of a network of 100,000 steps and
// 250,000 waits: ours over eleven calendars with waits of all four kinds, beside a
// plain program on gonum's graph, which sorts and passes forwards and backwards over
// the same network and knows nothing but minutes. Laying the network out is measured
// apart for both; times-gaugerod is without it, times-gaugerod-in-all with it.
func BenchmarkDates(b *testing.B) {
	net := plainNetwork(b, 250_000)
	years := yearsFor(b, net)
	edges := plainEdges(net)
	var ours, oursLaid, theirsLaid float64
	b.Run("laid out by gaugerod", func(b *testing.B) {
		for b.Loop() {
			layOut(b, net, years)
		}
		oursLaid = perRun(b)
	})
	b.Run("laid out by gonum", func(b *testing.B) {
		for b.Loop() {
			plainGraph(len(net.Steps), edges)
		}
		theirsLaid = perRun(b)
	})
	b.Run("earliest and latest over calendars by gaugerod", func(b *testing.B) {
		g := layOut(b, net, years)
		for b.Loop() {
			if err := dates(b, g); err != nil {
				b.Fatal(err)
			}
		}
		ours = perRun(b)
	})
	b.Run("earliest and latest with most times by gaugerod", func(b *testing.B) {
		g := layOut(b, withMostTimes(b, net), years)
		for b.Loop() {
			if err := dates(b, g); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("plain earliest and latest by gonum", func(b *testing.B) {
		g := plainGraph(len(net.Steps), edges)
		for b.Loop() {
			if early, late := datesByGonum(b, g); len(early) != len(late) {
				b.Fatal("dates are missing")
			}
		}
		theirs := perRun(b)
		b.ReportMetric(theirs/ours, "times-gaugerod")
		b.ReportMetric((theirs+theirsLaid)/(ours+oursLaid), "times-gaugerod-in-all")
	})
}

// BenchmarkGrowth is earliest and latest dates of networks of ten and a hundred times
// the size: what a wait costs stays about the same.
func BenchmarkGrowth(b *testing.B) {
	for _, waits := range []int{10_000, 100_000, 1_000_000} {
		net := plainNetwork(b, waits)
		years := yearsFor(b, net)
		b.Run(strconv.Itoa(waits)+" waits laid out", func(b *testing.B) {
			for b.Loop() {
				layOut(b, net, years)
			}
			b.ReportMetric(perRun(b)*1e9/float64(waits), "ns/wait")
		})
		b.Run(strconv.Itoa(waits)+" waits dated", func(b *testing.B) {
			g := layOut(b, net, years)
			for b.Loop() {
				if err := dates(b, g); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(perRun(b)*1e9/float64(waits), "ns/wait")
		})
	}
}

// BenchmarkLargePlan is a whole plan of 100,000 steps and 250,000 waits, with the most
// memory that it has in use on the way; above one gibibyte it fails.
func BenchmarkLargePlan(b *testing.B) {
	job := randomjob.Plain(1, 100_000, 250_000)
	highest := watchHeap(b)
	for b.Loop() {
		if _, err := planner.Plan(b.Context(), job, planner.Options{}); err != nil {
			b.Fatal(err)
		}
	}
	peak := highest()
	b.ReportMetric(float64(peak)/(1<<20), "peak-MiB")
	if peak >= 1<<30 {
		b.Errorf("%d MiB were in use", peak>>20)
	}
}

// watchHeap looks every few milliseconds how much of the heap is in use; the function
// it returns ends that and says how much was the most.
func watchHeap(b *testing.B) (highest func() uint64) {
	b.Helper()
	stop, most := make(chan struct{}), make(chan uint64)
	go func() {
		var peak uint64
		for tick := time.Tick(10 * time.Millisecond); ; {
			var now runtime.MemStats
			runtime.ReadMemStats(&now)
			peak = max(peak, now.HeapInuse)
			select {
			case <-stop:
				most <- peak
				return
			case <-tick:
			}
		}
	}()
	return func() uint64 {
		close(stop)
		return <-most
	}
}

// plainNetwork is a network over calendars with two fifths as many steps as waits.
func plainNetwork(b *testing.B, waits int) *scheduler.Network {
	b.Helper()
	net, err := expand.Expand(randomjob.Plain(1, waits*2/5, waits))
	if err != nil {
		b.Fatal(err)
	}
	return net
}

// withMostTimes is a network with a most time on a tenth of its waits, long enough not
// to contradict anything and short enough to push some steps back.
func withMostTimes(b *testing.B, net *scheduler.Network) *scheduler.Network {
	b.Helper()
	job := *net.Job
	job.Waits = slices.Clone(job.Waits)
	for k := 0; k < len(job.Waits); k += 10 {
		job.Waits[k].Most = &worktime.Span{Amount: 600, Unit: worktime.ElapsedDays}
	}
	most, err := expand.Expand(&job)
	if err != nil {
		b.Fatal(err)
	}
	return most
}

// perRun is the seconds of one run.
func perRun(b *testing.B) float64 { return b.Elapsed().Seconds() / float64(b.N) }

func layOut(b *testing.B, net *scheduler.Network, years int) *network.Graph {
	b.Helper()
	g, err := network.Build(net, net.Job.Start, years*366)
	if err != nil {
		b.Fatal(err)
	}
	return g
}

// dates computes the earliest and the latest dates. The error is ErrBeyond where
// the calendars do not reach far enough, either way.
func dates(b *testing.B, g *network.Graph) error {
	b.Helper()
	early, conflicts, err := g.Earliest()
	if err != nil {
		return err
	}
	if len(conflicts) > 0 {
		b.Fatalf("%d contradictions", len(conflicts))
	}
	bound, _ := g.Bounds(network.LastFinish(&early))
	_, _, err = g.Latest(bound)
	return err
}

// yearsFor is how far the calendars must reach.
func yearsFor(b *testing.B, net *scheduler.Network) int {
	b.Helper()
	for years := 5; ; years *= 2 {
		err := dates(b, layOut(b, net, years))
		if err == nil {
			return years
		}
		if !errors.Is(err, network.ErrBeyond) || years > 1000 {
			b.Fatal(err)
		}
	}
}

// edge is a wait as a plain program reads it: so many minutes from start to start.
type edge struct {
	from, to int
	minutes  float64
}

// plainEdges is the waits of a network with the names of their steps looked up.
func plainEdges(net *scheduler.Network) []edge {
	length := func(p scheduler.Point, i int) float64 {
		if p.End == scheduler.Start {
			return 0
		}
		return float64(net.Job.Minutes(net.Steps[i].Takes))
	}
	edges := make([]edge, len(net.Waits))
	for k := range net.Waits {
		w := &net.Waits[k]
		from, _ := net.Find(w.From.Step)
		to, _ := net.Find(w.To.Step)
		edges[k] = edge{from, to, float64(net.Job.Minutes(w.Least)) + length(w.From, from) - length(w.To, to)}
	}
	return edges
}

// plainGraph is a network as gonum keeps one: a node a step, an edge between two
// steps that a wait joins, the longest where there are several.
func plainGraph(steps int, edges []edge) *simple.WeightedDirectedGraph {
	g := simple.NewWeightedDirectedGraph(0, math.Inf(-1))
	for i := range steps {
		g.AddNode(simple.Node(i))
	}
	for _, e := range edges {
		from, to := simple.Node(e.from), simple.Node(e.to)
		if known := g.WeightedEdge(int64(from), int64(to)); known == nil || known.Weight() < e.minutes {
			g.SetWeightedEdge(g.NewWeightedEdge(from, to, e.minutes))
		}
	}
	return g
}

// datesByGonum sorts with gonum and passes over its edges, forwards for the earliest
// starts, backwards for the latest before the last of them.
func datesByGonum(b *testing.B, g *simple.WeightedDirectedGraph) (early, late []float64) {
	b.Helper()
	sorted, err := topo.Sort(g)
	if err != nil {
		b.Fatal(err)
	}
	early, late = make([]float64, len(sorted)), make([]float64, len(sorted))
	last := 0.0
	for _, n := range sorted {
		from := n.ID()
		last = max(last, early[from])
		for next := g.From(from); next.Next(); {
			to := next.Node().ID()
			minutes, _ := g.Weight(from, to)
			early[to] = max(early[to], early[from]+minutes)
		}
	}
	for k := len(sorted) - 1; k >= 0; k-- {
		from := sorted[k].ID()
		late[from] = last
		for next := g.From(from); next.Next(); {
			to := next.Node().ID()
			minutes, _ := g.Weight(from, to)
			late[from] = min(late[from], late[to]-minutes)
		}
	}
	return early, late
}
