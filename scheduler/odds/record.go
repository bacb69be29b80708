package odds

import (
	"cmp"
	"math"
	"slices"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/network"
	"gaugerod/scheduler/worktime"
)

// record is what is kept of the tries.
type record struct {
	*trier
	finish  []worktime.Instant   // by try
	lengths [][]float64          // by unsure step and try
	starts  [][]worktime.Instant // by step that has not begun, and try
	open    []int                // those steps
	dues    []due
}

type due struct {
	*scheduler.PlannedDue
	step int
	by   worktime.Instant
	kept int
}

// mostSways is how many steps are named by which the finish goes.
const mostSways = 6

func newRecord(t *trier, tries int) *record {
	r := &record{trier: t, finish: make([]worktime.Instant, tries), lengths: make([][]float64, len(t.unsure))}
	for n := range r.lengths {
		r.lengths[n] = make([]float64, tries)
	}
	for i := range t.net.Steps {
		if t.graph.Progress[i] == network.Open {
			r.open = append(r.open, i)
			r.starts = append(r.starts, make([]worktime.Instant, tries))
		}
	}
	for k := range t.plan.Dues {
		d := &t.plan.Dues[k]
		if i, ok := t.net.Find(d.Step); ok && t.graph.Progress[i] != network.Done {
			r.dues = append(r.dues, due{PlannedDue: d, step: i, by: worktime.FromTime(d.By)})
		}
	}
	return r
}

// add notes how a try ended.
func (r *record) add(try int, dates *network.Times) {
	r.finish[try] = network.LastFinish(dates)
	for n, i := range r.open {
		r.starts[n][try] = dates.Start[i]
	}
	for k := range r.dues {
		if d := &r.dues[k]; dates.Finish[d.step] <= d.by {
			d.kept++
		}
	}
}

func (r *record) odds() *Odds {
	tries := len(r.finish)
	o := &Odds{Tries: tries, Unsure: len(r.unsure), Sways: r.sways(), Starts: make(map[scheduler.ID]Start, len(r.open))}
	slices.Sort(r.finish)
	o.Finish = make([]time.Time, tries)
	for k, at := range r.finish {
		o.Finish[k] = r.time(at)
	}
	for n, i := range r.open {
		slices.Sort(r.starts[n])
		o.Starts[r.net.Steps[i].ID] = Start{Half: r.time(r.starts[n][rank(0.5, tries)]), Nine: r.time(r.starts[n][rank(0.9, tries)])}
	}
	for k := range r.dues {
		d := &r.dues[k]
		o.Dues = append(o.Dues, Due{ID: d.ID, Title: d.Title, Step: d.Step, By: d.By, Kept: d.kept})
	}
	return o
}

// sways is by which steps the finish goes: the square of how their lengths and the finish
// go together. It is asked before the tries are sorted.
func (r *record) sways() []Sway {
	finish := make([]float64, len(r.finish))
	for k, at := range r.finish {
		finish[k] = float64(at - r.finish[0])
	}
	var all []Sway
	for n := range r.unsure {
		if share := math.Pow(correlation(r.lengths[n], finish), 2); share >= 0.01 {
			all = append(all, Sway{r.net.Steps[r.unsure[n].step].ID, share})
		}
	}
	slices.SortStableFunc(all, func(a, b Sway) int { return cmp.Compare(b.Share, a.Share) })
	return all[:min(len(all), mostSways)]
}

// correlation is Pearson's, 0 where one of the two never differs.
func correlation(xs, ys []float64) float64 {
	n := float64(len(xs))
	var mx, my float64
	for k := range xs {
		mx, my = mx+xs[k]/n, my+ys[k]/n
	}
	var xx, yy, xy float64
	for k := range xs {
		dx, dy := xs[k]-mx, ys[k]-my
		xx, yy, xy = xx+dx*dx, yy+dy*dy, xy+dx*dy
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}
