package web

import "html/template"

// whenFields is the fields of a day with an optional time.
type whenFields struct {
	Form       form
	ID, Label  string
	Day, Clock string // names of the fields
	Needed     bool
}

// byFields is the choice of a person.
type byFields struct {
	Form      form
	ID, Label string
	People    *choices
}

// verdictFields is what a person says of a hold point after looking at it.
type verdictFields struct {
	Form    form
	ID      string
	When    whenFields
	By      byFields
	Measure string // what should be measured, empty: nothing is
}

func newWhenFields(f form, day, label string, needed bool) whenFields {
	clock := day + "-time"
	if day == "day" {
		clock = "time"
	}
	return whenFields{Form: f, ID: f.Name + "-" + day, Label: label, Day: day, Clock: clock, Needed: needed}
}

func newByFields(f form, id, label string, people *choices) byFields {
	return byFields{Form: f, ID: id, Label: label, People: people}
}

func newVerdictFields(f form, id string, people *choices, measure string) verdictFields {
	return verdictFields{
		Form: f, ID: id, When: newWhenFields(f, "day", "On", true), By: newByFields(f, id, "By", people), Measure: measure,
	}
}

// mineTaskPart is a step of a trade's page with the revision that its forms are of.
type mineTaskPart struct {
	Task     mineTask
	Revision int64
}

func newMineTaskPart(t mineTask, revision int64) mineTaskPart { return mineTaskPart{t, revision} }

// formParts are the functions by which templates put forms together.
var formParts = template.FuncMap{
	"once": once, "when": newWhenFields, "by": newByFields, "verdict": newVerdictFields, "sent": sent, "options": options, "mineTask": newMineTaskPart,
}
