package api

import (
	"reflect"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/uuid"

	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

// words has the document say of days, moments, spans and closed lists of words
// what they look like: the types themselves know nothing of HTTP.
func words(registry huma.Registry) {
	for of, as := range map[reflect.Type]reflect.Type{
		reflect.TypeFor[uuid.UUID]():          reflect.TypeFor[uuidWord](),
		reflect.TypeFor[worktime.Date]():      reflect.TypeFor[dayWord](),
		reflect.TypeFor[worktime.When]():      reflect.TypeFor[whenWord](),
		reflect.TypeFor[worktime.Span]():      reflect.TypeFor[spanWord](),
		reflect.TypeFor[scheduler.Severity](): reflect.TypeFor[severityWord](),
		reflect.TypeFor[scheduler.State]():    reflect.TypeFor[stateWord](),
		reflect.TypeFor[scheduler.StepKind](): reflect.TypeFor[stepKindWord](),
		reflect.TypeFor[scheduler.HoldKind](): reflect.TypeFor[holdKindWord](),
		reflect.TypeFor[scheduler.Reason]():   reflect.TypeFor[reasonWord](),
		reflect.TypeFor[scheduler.Role]():     reflect.TypeFor[roleWord](),
		reflect.TypeFor[scheduler.Caution]():  reflect.TypeFor[cautionWord](),
		reflect.TypeFor[scheduler.NameKind](): reflect.TypeFor[nameKindWord](),
		reflect.TypeFor[compare.Change]():     reflect.TypeFor[changeWord](),
		reflect.TypeFor[compare.About]():      reflect.TypeFor[aboutWord](),
	} {
		registry.RegisterTypeAlias(of, as)
	}
}

const (
	whenPattern = `^\d{4}-\d{2}-\d{2}( ([01]\d|2[0-3]):[0-5]\d| 24:00)?$`
	spanPattern = `^\d+ (elapsed )?(minutes?|hours?|days?|weeks?)$`
)

// plainly puts in words what the validator says of a pattern.
func plainly(message string) string {
	switch {
	case strings.HasSuffix(message, whenPattern):
		return "write a day, with a time of day where one is known: 2026-05-18 or 2026-05-18 07:30"
	case strings.HasSuffix(message, spanPattern):
		return "write a whole number and a unit: 3 days, 4 hours or 28 elapsed days"
	}
	return message
}

// sayNull has the document say what the validator does: in a request's body, null
// stands for a field that is left out.
func sayNull(document *huma.OpenAPI) {
	for _, item := range document.Paths {
		for _, op := range []*huma.Operation{item.Put, item.Post, item.Patch} {
			if op == nil || op.RequestBody == nil || op.RequestBody.Content["application/json"] == nil {
				continue
			}
			body := document.Components.Schemas.SchemaFromRef(op.RequestBody.Content["application/json"].Schema.Ref)
			for name, field := range body.Properties {
				if field.Ref == "" && !slices.Contains(body.Required, name) {
					field.Nullable = true
				}
			}
		}
	}
}

type (
	uuidWord     struct{}
	dayWord      struct{}
	whenWord     struct{}
	spanWord     struct{}
	severityWord struct{}
	stateWord    struct{}
	stepKindWord struct{}
	holdKindWord struct{}
	reasonWord   struct{}
	roleWord     struct{}
	cautionWord  struct{}
	nameKindWord struct{}
	changeWord   struct{}
	aboutWord    struct{}
)

func (uuidWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "uuid", Pattern: `^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$`}
}

func (dayWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "date", Description: "A civil day, year-month-day.", Examples: []any{"2026-05-18"}}
}

func (whenWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{
		Type: huma.TypeString, Pattern: whenPattern,
		Description: "A day in the job's zone, with a time of day where one is known.", Examples: []any{"2026-05-18 07:30"},
	}
}

func (spanWord) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{
		Type: huma.TypeString, Pattern: spanPattern,
		Description: "An amount of time with its unit: working time, or real time where it says elapsed.", Examples: []any{"3 days"},
	}
}

func (severityWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.Severities...) }

func (stateWord) Schema(huma.Registry) *huma.Schema {
	return oneOf(scheduler.Waiting, scheduler.Ready, scheduler.Underway, scheduler.Complete, scheduler.Refused)
}

func (stepKindWord) Schema(huma.Registry) *huma.Schema {
	return oneOf(scheduler.TaskStep, scheduler.HoldStep, scheduler.StageStep)
}

func (holdKindWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.HoldKinds...) }

func (reasonWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.Reasons...) }

func (roleWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.Roles...) }

func (cautionWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.Cautions...) }

func (nameKindWord) Schema(huma.Registry) *huma.Schema { return oneOf(scheduler.NameKinds...) }

func (changeWord) Schema(huma.Registry) *huma.Schema {
	return oneOf(compare.Moved, compare.New, compare.Gone)
}

func (aboutWord) Schema(huma.Registry) *huma.Schema {
	return oneOf(compare.OfWindow, compare.OfHold, compare.OfOrder, compare.OfDelivery)
}

func oneOf[T ~string](values ...T) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, v := range values {
		s.Enum = append(s.Enum, string(v))
	}
	return s
}
