// Package planfile writes a plan as JSON and publishes the schema of what it
// writes, so that other programs can rely on it.
package planfile

import (
	_ "embed"
	"encoding/json"
	"fmt"

	"gaugerod/scheduler"
)

//go:embed plan.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) that every plan written here satisfies.
func Schema() []byte { return append([]byte(nil), schema...) }

// Write is the plan as indented JSON with a line end. Lists without items are
// written as empty lists, never as null.
func Write(plan *scheduler.Plan) ([]byte, error) {
	data, err := json.MarshalIndent(whole(plan), "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write plan: %w", err)
	}
	return append(data, '\n'), nil
}

// whole is a copy of the plan in which no list that is always written is nil.
func whole(plan *scheduler.Plan) *scheduler.Plan {
	p := *plan
	p.Steps = list(p.Steps)
	for k := range p.Steps {
		p.Steps[k].Drivers = list(p.Steps[k].Drivers)
		p.Steps[k].Needs = list(p.Steps[k].Needs)
	}
	p.Waits = list(p.Waits)
	p.Holds = list(p.Holds)
	for k := range p.Holds {
		p.Holds[k].Holds = list(p.Holds[k].Holds)
	}
	p.Orders = list(p.Orders)
	for k := range p.Orders {
		p.Orders[k].Stages = list(p.Orders[k].Stages)
	}
	p.Windows = list(p.Windows)
	for k := range p.Windows {
		w := &p.Windows[k]
		w.Steps, w.Before, w.After = list(w.Steps), list(w.Before), list(w.After)
	}
	p.Dues = list(p.Dues)
	p.Aims = list(p.Aims)
	p.Covers = list(p.Covers)
	p.Driving = list(p.Driving)
	p.Contradictions = list(p.Contradictions)
	for k := range p.Contradictions {
		p.Contradictions[k].Statements = list(p.Contradictions[k].Statements)
	}
	p.Alerts = list(p.Alerts)
	return &p
}

// list is a copy that is never nil.
func list[T any](items []T) []T { return append([]T{}, items...) }
