package scheduler

import "gaugerod/scheduler/worktime"

// Work is what tasks and hold points have in common: who, where, how long, with what.
type Work struct {
	Trades   []ID
	Crews    int // crews of each trade it takes, at least 1
	Places   []ID
	Takes    worktime.Span
	Alone    bool // nobody else may be in its places, or below them, meanwhile
	Gear     []ID // one of each is held from start to finish
	Weather  *Weather
	Cautions []Caution
}

// Weather is what a task needs of the sky. Planning does not move work for it yet.
type Weather struct {
	Dry            bool
	WindBelow      *int // m/s, daily mean
	MinTemperature *int // degrees Celsius
}

// Caution marks a step whose release belongs to a licensed or authorised person.
type Caution string

// The cautions a step may carry.
const (
	CautionStructure   Caution = "structure"
	CautionHeight      Caution = "height"
	CautionLifting     Caution = "lifting"
	CautionExcavation  Caution = "excavation"
	CautionSupport     Caution = "temporary support"
	CautionGas         Caution = "gas"
	CautionElectricity Caution = "electricity"
)

// Cautions lists every caution.
var Cautions = []Caution{
	CautionStructure, CautionHeight, CautionLifting, CautionExcavation,
	CautionSupport, CautionGas, CautionElectricity,
}

// Task is work by one or more trades in one place or several.
type Task struct {
	ID    ID
	Title string
	Work
	Spread Spread
	Note   string
	Pos    Pos
}
