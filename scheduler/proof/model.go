package proof

import "math"

// Model is what the search works on: starts within bounds, waits as monotone
// functions between two starts, and limits. Steps are numbered from 0.
type Model struct {
	Lo, Hi []int64 // least and greatest start of each step, both possible ones
	Times  Times
	Arcs   []Arc
	Limits []Limit
	Sum    *Sum  // nil: none
	Goal   int32 // the step whose start is to be as small as can be
}

// Arc bounds the start of one step from below by that of another.
type Arc struct {
	From, To int32
	Lag      int64 // plain models: To starts at or after From + Lag
}

// Limit is a size and what takes of it while it runs.
type Limit struct {
	Size  int64
	Tasks []Task
}

// Task is the part of a step, or of an occupation from one step to another, that
// takes an amount of a limit.
type Task struct {
	From, To int32
	Amount   int64
}

// Times is the arithmetic of starts: how long steps take and how far waits reach,
// by calendars. All functions are monotone.
type Times interface {
	// StartFrom is the least possible start of step i at or after t.
	StartFrom(i int32, t int64) int64
	// LastStartBy is the greatest possible start of step i at or before t.
	LastStartBy(i int32, t int64) int64
	// Finish is when step i finishes if it starts at s.
	Finish(i int32, s int64) int64
	// StartPast is the least start of step i with which it finishes after t.
	StartPast(i int32, t int64) int64
	// Least is the least start of the arc's To when its From starts at s.
	Least(arc int32, s int64) int64
	// Greatest is the greatest start of the arc's From when its To starts at s.
	Greatest(arc int32, s int64) int64
}

// Plain is the arithmetic of real time: fixed lengths, fixed lags, every start possible.
type Plain struct {
	Length []int64
	Arcs   []Arc
}

// StartFrom implements Times.
func (p *Plain) StartFrom(_ int32, t int64) int64 { return t }

// LastStartBy implements Times.
func (p *Plain) LastStartBy(_ int32, t int64) int64 { return t }

// Finish implements Times.
func (p *Plain) Finish(i int32, s int64) int64 { return s + p.Length[i] }

// StartPast implements Times.
func (p *Plain) StartPast(i int32, t int64) int64 { return t + 1 - p.Length[i] }

// Least implements Times.
func (p *Plain) Least(a int32, s int64) int64 { return s + p.Arcs[a].Lag }

// Greatest implements Times.
func (p *Plain) Greatest(a int32, s int64) int64 { return s - p.Arcs[a].Lag }

// never is later than any start.
const never = math.MaxInt64 / 4
