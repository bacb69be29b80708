package odds

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestPertAgainstGonum holds draws against gonum's beta distribution, at the deciles, and
// against the mean and the variance that the PERT estimate stands for.
func TestPertAgainstGonum(t *testing.T) {
	const draws = 200_000
	for _, p := range []pert{{4, 5, 12}, {1.5, 3, 4.5}, {2, 2, 9}, {3, 8, 8}} {
		rng := rand.New(rand.NewPCG(7, 7))
		all := make([]float64, draws)
		sum := 0.0
		for k := range all {
			all[k] = p.one(rng)
			sum += all[k] / draws
		}
		slices.Sort(all)
		a, b := p.shape()
		beta := distuv.Beta{Alpha: a, Beta: b}
		for decile := 0.1; decile < 0.95; decile += 0.1 {
			want := p.best + (p.worst-p.best)*beta.Quantile(decile)
			if got := all[rank(decile, draws)]; math.Abs(got-want) > 0.01*(p.worst-p.best) {
				t.Errorf("%v at %.1f: %.3f, gonum has %.3f", p, decile, got, want)
			}
		}
		if mean := (p.best + 4*p.usual + p.worst) / 6; math.Abs(sum-mean) > 0.005*(p.worst-p.best) {
			t.Errorf("%v: mean %.3f, want %.3f", p, sum, mean)
		}
		if all[0] < p.best || all[draws-1] > p.worst {
			t.Errorf("%v: from %v to %v", p, all[0], all[draws-1])
		}
	}
	if got := (pert{3, 3, 3}).one(nil); got != 3 {
		t.Errorf("what is sure takes %v", got)
	}
}
