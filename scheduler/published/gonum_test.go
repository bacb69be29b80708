package published_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"gaugerod/scheduler"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

// minutesFromStart is where an instant of a plan lies, in minutes from the job's start.
func minutesFromStart(job *scheduler.Job, at time.Time) int64 {
	return int64(at.Sub(job.Start.At(0, time.UTC).Time(time.UTC)) / time.Minute)
}

// Finish-to-start networks in real time: the earliest dates are the longest paths
// that gonum finds (as shortest paths over lengths with their sign turned).
func TestEarliestDatesAreLongestPathsOfGonum(t *testing.T) {
	for seed := range uint64(30) {
		steps := 20 + int(seed)*10
		t.Run(fmt.Sprintf("seed %d, %d steps", seed, steps), func(t *testing.T) {
			t.Parallel()
			job := randomjob.Continuous(seed, steps, 5*steps/2, randomjob.FinishToStart)
			want := longestPaths(t, job)
			plan := planOf(t, job)
			for k := range job.Tasks {
				s := plan.FindStep(job.Tasks[k].ID)
				if got := minutesFromStart(job, s.EarliestStart); got != want[k] {
					t.Errorf("%s starts at minute %d, gonum says %d", s.ID, got, want[k])
				}
			}
		})
	}
}

// longestPaths is the longest path to the start of each task, by gonum's
// Bellman-Ford. Node 0 is the start of the job, node k+1 the task k.
func longestPaths(t *testing.T, job *scheduler.Job) []int64 {
	t.Helper()
	g := simple.NewWeightedDirectedGraph(0, math.Inf(1))
	node := map[scheduler.ID]int64{}
	for k := range job.Tasks {
		node[job.Tasks[k].ID] = int64(k + 1)
		lengthen(g, 0, int64(k+1), 0)
	}
	for _, w := range job.Waits {
		from, to := node[w.From.Step], node[w.To.Step]
		length := minutesOf(job, job.Tasks[from-1].Takes) + minutesOf(job, w.Least)
		lengthen(g, from, to, length)
	}
	shortest, ok := path.BellmanFordFrom(g.Node(0), g)
	if !ok {
		t.Fatal("gonum found a loop of negative length in a network without loops")
	}
	longest := make([]int64, len(job.Tasks))
	for k := range longest {
		longest[k] = int64(-shortest.WeightTo(int64(k + 1)))
	}
	return longest
}

// lengthen puts an edge into the graph, or makes the one that is there as long as
// the longer of the two: gonum keeps one edge between two nodes.
func lengthen(g *simple.WeightedDirectedGraph, from, to, length int64) {
	if e := g.WeightedEdge(from, to); e != nil && -e.Weight() >= float64(length) {
		return
	}
	g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(from), simple.Node(to), -float64(length)))
}

func minutesOf(job *scheduler.Job, s worktime.Span) int64 {
	return s.Minutes(job.DayMinutes(), job.Week.WorkingDays())
}
