package scheduler

import "gaugerod/scheduler/worktime"

// Spread is how long work may take where it goes as well, and as badly, as can be thought
// of: the outer two of a three-point estimate, of which what it usually takes is the
// middle one. Both are of the same kind of time as that. Plans are made with what work
// usually takes; the spread says how sure they are.
type Spread struct {
	Best  worktime.Span // zero: no less than usual
	Worst worktime.Span // zero: no more than usual
}

// None says whether nothing is said.
func (s Spread) None() bool { return s == Spread{} }

// around is the spread as far as it lies around what work takes now.
func (s Spread) around(j *Job, takes worktime.Span) Spread {
	usual := j.Minutes(takes)
	if s.Best.Elapsed() != takes.Elapsed() || j.Minutes(s.Best) > usual {
		s.Best = worktime.Span{}
	}
	if s.Worst.Elapsed() != takes.Elapsed() || j.Minutes(s.Worst) < usual {
		s.Worst = worktime.Span{}
	}
	return s
}
