package published_test

import (
	"errors"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
)

// BenchmarkDates is earliest and latest dates over calendars of a network of
// 100,000 steps and 250,000 waits, beside gonum's plain longest path, which knows
// no calendars and no latest dates, on the same network. Laying the network out is
// measured apart for both.
func BenchmarkDates(b *testing.B) {
	net, err := expand.Expand(randomjob.Plain(1, 100_000, 250_000))
	if err != nil {
		b.Fatal(err)
	}
	years := yearsFor(b, net)
	b.Run("laid out by gaugerod", func(b *testing.B) {
		for b.Loop() {
			layOut(b, net, years)
		}
	})
	b.Run("laid out by gonum", func(b *testing.B) {
		for b.Loop() {
			plainGraph(net)
		}
	})
	ours := 0.0
	b.Run("earliest and latest over calendars by gaugerod", func(b *testing.B) {
		g := layOut(b, net, years)
		for b.Loop() {
			if err := dates(b, g); err != nil {
				b.Fatal(err)
			}
		}
		ours = perRun(b)
	})
	b.Run("plain longest path by gonum", func(b *testing.B) {
		g := plainGraph(net)
		for b.Loop() {
			if longestByGonum(b, g) <= 0 {
				b.Fatal("no longest path")
			}
		}
		b.ReportMetric(perRun(b)/ours, "times-gaugerod")
	})
}

// perRun is the seconds of one run.
func perRun(b *testing.B) float64 { return b.Elapsed().Seconds() / float64(b.N) }

func layOut(b *testing.B, net *scheduler.Network, years int) *network.Graph {
	g, err := network.Build(net, net.Job.Start, years)
	if err != nil {
		b.Fatal(err)
	}
	return g
}

// dates computes the earliest and the latest dates. The error is ErrBeyond where
// the calendars do not reach far enough, either way.
func dates(b *testing.B, g *network.Graph) error {
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

// BenchmarkDemo is the demo job from its text to its plan.
func BenchmarkDemo(b *testing.B) {
	data, err := os.ReadFile(demoFile)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		job, err := jobfile.Read(demoFile, data)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := planner.Plan(b.Context(), job, planner.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// plainGraph is the network as gonum keeps one: a node a step, an edge between two
// steps that a wait joins, as long as the minutes from start to start.
func plainGraph(net *scheduler.Network) *simple.WeightedDirectedGraph {
	g := simple.NewWeightedDirectedGraph(0, math.Inf(-1))
	for i := range net.Steps {
		g.AddNode(simple.Node(i))
	}
	length := func(p scheduler.Point, i int) float64 {
		if p.End == scheduler.Start {
			return 0
		}
		return float64(net.Job.Minutes(net.Steps[i].Takes))
	}
	for k := range net.Waits {
		w := &net.Waits[k]
		from, _ := net.Find(w.From.Step)
		to, _ := net.Find(w.To.Step)
		minutes := float64(net.Job.Minutes(w.Least)) + length(w.From, from) - length(w.To, to)
		if e := g.WeightedEdge(int64(from), int64(to)); e == nil || e.Weight() < minutes {
			g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(from), simple.Node(to), minutes))
		}
	}
	return g
}

// longestByGonum sorts with gonum and takes the longest way to each node.
func longestByGonum(b *testing.B, g graph.WeightedDirected) float64 {
	sorted, err := topo.Sort(g)
	if err != nil {
		b.Fatal(err)
	}
	dist := make([]float64, len(sorted))
	longest := 0.0
	for _, n := range sorted {
		from := n.ID()
		for next := g.From(from); next.Next(); {
			to := next.Node().ID()
			minutes, _ := g.Weight(from, to)
			dist[to] = max(dist[to], dist[from]+minutes)
			longest = max(longest, dist[to])
		}
	}
	return longest
}
