// Package verify is the separate checker: it takes a job and a plan and proves
// that every statement of the job holds in the planned dates, and that what the
// plan claims of itself is true. It shares no code with the solver. It repeats
// typicals, chains orders and lays build-ups by its own plain means, lays working
// time out day by day with package time, and looks at every pair that could be in
// each other's way. It is slow and simple on purpose.
//
// # What is checked
//
//   - every step of the job is in the plan once, and nothing else is;
//   - the amount of work, and that starts and finishes lie in working time;
//   - recorded times, as of and the job's start;
//   - least and most times of waits, pins, bookings, expected days and notices;
//   - crews, room, alone, gear and occupations, at every moment;
//   - layers covered and seen;
//   - what is said to contradict itself: the set cannot hold, and can without the
//     statement that is set aside;
//   - earliest and latest dates against their definition, and the floats;
//   - that a step may use its free slack without anybody moving;
//   - dues, holds, orders, windows, drivers, needs and the driving chain;
//   - that the bound is not after the finish and what is called proven is;
//   - that what is said of the aims is what the dates give.
//
// What the plan set aside because statements contradict each other is not held
// against it, if the statement belongs to a set that the plan names.
//
// Exhaust is the other half: the best dates that a small job can have, by trying every
// order, for tests of what the solver calls proven.
package verify

import (
	"fmt"
	"strings"
	"time"

	"gaugerod/scheduler"
)

// Rule names what a violation breaks, the same from plan to plan.
type Rule string

// ZoneUnknown is the rule that a job has a time zone in which a plan can be read.
const ZoneUnknown Rule = "zone"

// Violation is one statement of the job that does not hold in the plan, or one
// claim of the plan that is not true.
type Violation struct {
	Rule  Rule
	What  string // in words, with the figures
	Steps []scheduler.ID
}

// String is the rule and what breaks it.
func (v Violation) String() string {
	names := make([]string, len(v.Steps))
	for k, id := range v.Steps {
		names[k] = string(id)
	}
	return fmt.Sprintf("%s: %s [%s]", v.Rule, v.What, strings.Join(names, ", "))
}

// Plan checks a plan of a job and returns every violation it finds, none when the
// plan is right. The job has passed rules.Check.
func Plan(job *scheduler.Job, plan *scheduler.Plan) []Violation {
	zone, err := time.LoadLocation(job.Zone)
	if err != nil {
		return []Violation{{Rule: ZoneUnknown, What: err.Error()}}
	}
	c := &checker{job: job, plan: plan, zone: zone, asOf: minuteOf(plan.AsOf)}
	c.layOut()
	c.expand()
	if !c.matchSteps() {
		return c.found // without its steps nothing more can be said of a plan
	}
	c.matchWaits()
	c.barred()
	c.claim()
	for _, rule := range []func(){
		c.head, c.amounts, c.facts, c.waits, c.pins, c.holds, c.everyLimit, c.contradictions,
		c.earliest, c.latest, c.slack, c.dues, c.covers, c.plannedHolds, c.plannedOrders,
		c.windows, c.drivers, c.tight, c.driving, c.aims,
	} {
		rule()
	}
	return c.found
}

// checker is one check under way.
type checker struct {
	job   *scheduler.Job
	plan  *scheduler.Plan
	zone  *time.Location
	asOf  minute
	cals  calendars
	found []Violation

	steps       []*step
	byID        map[scheduler.ID]*step
	every       map[scheduler.ID][]*step // "typical.local": its instances
	joins       []*join
	layers      []*layer
	occupations []*occupation
	early, late dates // without limits, as the plan has them
	places      map[scheduler.ID]*scheduler.Place
}

func (c *checker) report(rule Rule, steps []scheduler.ID, format string, args ...any) {
	c.found = append(c.found, Violation{Rule: rule, What: fmt.Sprintf(format, args...), Steps: steps})
}

func ids(steps ...*step) []scheduler.ID {
	out := make([]scheduler.ID, len(steps))
	for k, s := range steps {
		out[k] = s.id
	}
	return out
}
