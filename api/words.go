package api

import "github.com/danielgtaylor/huma/v2"

// The schemas of days, moments and spans, which travel as people write them.
type (
	dayWord  struct{}
	whenWord struct{}
	spanWord struct{}
)

func (dayWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "date", Description: "A civil day, year-month-day.", Examples: []any{"2026-05-18"}}
}

func (whenWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{
		Type: huma.TypeString, Pattern: `^\d{4}-\d{2}-\d{2}( ([01]\d|2[0-3]):[0-5]\d| 24:00)?$`,
		PatternDescription: "a day, with a time of day where one is known: 2026-05-18 or 2026-05-18 07:30",
		Description:        "A day in the job's zone, with a time of day where one is known.", Examples: []any{"2026-05-18 07:30"},
	}
}

func (spanWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{
		Type: huma.TypeString, Pattern: `^\d+ (elapsed )?(minutes?|hours?|days?|weeks?)$`,
		PatternDescription: "a whole number and a unit: 3 days, 4 hours, 28 elapsed days",
		Description:        "An amount of time with its unit: working time, or real time where it says elapsed.", Examples: []any{"3 days"},
	}
}
