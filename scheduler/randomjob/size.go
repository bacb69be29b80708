// Package randomjob makes random jobs for tests and measurements: small sound
// ones that use every feature of the model, and large or plain networks to be
// compared with outside oracles. The same seed and size give the same job on
// every machine. The jobs are invented; nothing in them is real.
package randomjob

import (
	"math/rand/v2"

	"gaugerod/scheduler"
)

// Feature is a part of the model that a random job may use.
type Feature uint32

// The features, each of which can be left out.
const (
	OwnWeeks    Feature = 1 << iota // trades and places with weeks of their own
	DaysOff                         // closures and days off
	Crews                           // few crews; without it there are always enough
	Room                            // places with little room
	Alone                           // tasks that need a place to themselves
	GearUse                         // gear, held by tasks
	Occupations                     // places and gear held from one step to another
	Holds                           // hold points of all kinds
	Witnesses                       // witness points
	Notices                         // notice to people and trades
	Orders                          // orders with stages
	Typicals                        // sequences repeated over places
	BuildUps                        // layers with cure, exposure and cover checks
	AllEnds                         // waits from either end to either end; without it finish to start
	Mosts                           // waits with a most time, and exposure limits
	Elapsed                         // real time in waits, tasks and stages
	Dues                            // due days
	Pins                            // pins of both kinds
	Waivers                         // lifted waits
	Facts                           // what has been recorded, with an as-of day
	Promises                        // issues, promised windows and answers of trades; they move nothing
	Drawings                        // drawings of places and steps, and words about the site; they move nothing
	Spreads                         // how well and how badly work may go; they move nothing

	All Feature = 1<<iota - 1
)

// Size says how large a random job is and what is in it. The zero Size is a job
// of some 20 steps with every feature and no contradiction on purpose.
type Size struct {
	Steps   int     // about how many steps it has when expanded; 0: 20
	Without Feature // features to leave out
	Tight   int     // percent of most times, pins and dues drawn without breathing room, so that they may contradict
}

// Only is the Without that leaves just the given features.
func Only(features Feature) Feature { return All &^ features }

// New is a sound random job.
func New(seed uint64, size Size) *scheduler.Job {
	if size.Steps <= 0 {
		size.Steps = 20
	}
	g := &maker{
		rng:   rand.New(rand.NewPCG(seed, uint64(size.Steps))),
		size:  size,
		job:   &scheduler.Job{},
		named: map[scheduler.ID][]int{},
	}
	g.site()
	g.work()
	g.buildUps()
	g.occupations()
	g.facts()
	g.mosts()
	g.words()
	g.promises()
	g.drawings()
	g.spreads()
	return g.job
}
