package odds

import (
	"math"
	"math/rand/v2"
)

// pert is the beta distribution of a three-point estimate: from best to worst, with the
// usual as the most likely, and a mean of a sixth of the best, four sixths of the usual
// and a sixth of the worst.
type pert struct{ best, usual, worst float64 }

// shape is the two parameters of the beta distribution over 0 to 1.
func (p pert) shape() (a, b float64) {
	wide := p.worst - p.best
	return 1 + 4*(p.usual-p.best)/wide, 1 + 4*(p.worst-p.usual)/wide
}

// one is one draw.
func (p pert) one(rng *rand.Rand) float64 {
	if p.worst <= p.best {
		return p.usual
	}
	a, b := p.shape()
	x, y := gamma(rng, a), gamma(rng, b)
	return p.best + (p.worst-p.best)*x/(x+y)
}

// gamma is one draw of the gamma distribution of shape a, at least 1, and scale 1
// (Marsaglia and Tsang, "A simple method for generating gamma variables", ACM Transactions
// on Mathematical Software 26, 2000).
func gamma(rng *rand.Rand, a float64) float64 {
	d := a - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := rng.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v *= v * v
		if math.Log(1-rng.Float64()) < x*x/2+d*(1-v+math.Log(v)) {
			return d * v
		}
	}
}
