package planfile_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/worktime"
)

func compiled(tb testing.TB) *jsonschema.Schema {
	tb.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(planfile.Schema()))
	if err != nil {
		tb.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("plan.json", doc); err != nil {
		tb.Fatal(err)
	}
	s, err := c.Compile("plan.json")
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func valid(s *jsonschema.Schema, data []byte) error {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return err
	}
	return s.Validate(doc)
}

// words is what each word type of the plan may be, the same lists as the model's.
var words = map[reflect.Type][]string{
	reflect.TypeFor[scheduler.State]():      {"waiting", "ready", "underway", "done", "refused"},
	reflect.TypeFor[scheduler.StepKind]():   {"task", "hold", "stage"},
	reflect.TypeFor[scheduler.HoldKind]():   texts(scheduler.HoldKinds),
	reflect.TypeFor[scheduler.Caution]():    texts(scheduler.Cautions),
	reflect.TypeFor[scheduler.Reason]():     texts(scheduler.Reasons),
	reflect.TypeFor[scheduler.Severity]():   texts(scheduler.Severities),
	reflect.TypeFor[scheduler.AlertKind]():  {string(scheduler.Loop), string(scheduler.LateOrder), string(scheduler.LateHold), string(scheduler.EarlyDelivery), string(scheduler.CoveredUnseen), string(scheduler.OutOfOrder), string(scheduler.OpenTooLong), string(scheduler.TooSoon), string(scheduler.TradeInTwoPlaces), string(scheduler.PlaceCrowded), string(scheduler.DueMissed), string(scheduler.ShortNotice), string(scheduler.InspectionNotBooked), string(scheduler.LooseEnd), string(scheduler.ExtraVisit), string(scheduler.MeasureOff), string(scheduler.PromiseBroken), string(scheduler.CannotCome), string(scheduler.DrawingMissing)},
	reflect.TypeFor[scheduler.AimKind]():    {string(scheduler.AimDueDays), string(scheduler.AimFinish), string(scheduler.AimVisits), string(scheduler.AimDeliveries)},
	reflect.TypeFor[scheduler.DriverKind](): {string(scheduler.ByWait), string(scheduler.ByLimit), string(scheduler.ByCalendar), string(scheduler.ByAsOf), string(scheduler.ByStart), string(scheduler.ByPin), string(scheduler.ByExpected), string(scheduler.ByNotice), string(scheduler.ByBooked), string(scheduler.ByFact), string(scheduler.ByHeld)},
	reflect.TypeFor[scheduler.ID]():         {"frame", "windows.delivery"},
}

func texts[S ~string](all []S) (out []string) {
	for _, s := range all {
		out = append(out, string(s))
	}
	return out
}

// fill puts something drawn into every field of a plan.
func fill(t *rapid.T, v reflect.Value) {
	zone, _ := time.LoadLocation("Europe/Vienna")
	switch v.Interface().(type) {
	case time.Time:
		at := time.Unix(rapid.Int64Range(0, 1<<27).Draw(t, "time")*60, 0)
		v.Set(reflect.ValueOf(at.In(zone)))
		return
	case worktime.Date:
		v.Set(reflect.ValueOf(worktime.Date(rapid.Int32Range(0, 40000).Draw(t, "day"))))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for k := range v.NumField() {
			fill(t, v.Field(k))
			if end := v.Type().Field(k).Name; end == "FromEnd" || end == "ToEnd" {
				v.Field(k).SetString(rapid.SampledFrom([]string{"start", "finish"}).Draw(t, "end"))
			}
		}
	case reflect.Slice:
		if n := rapid.IntRange(0, 2).Draw(t, "items"); n > 0 {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
			for k := range n {
				fill(t, v.Index(k))
			}
		}
	case reflect.Pointer:
		if rapid.Bool().Draw(t, "there") {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, v.Elem())
		}
	case reflect.String:
		if list, ok := words[v.Type()]; ok {
			v.SetString(rapid.SampledFrom(list).Draw(t, "word"))
		} else {
			v.SetString(rapid.StringN(0, 8, -1).Draw(t, "text"))
		}
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, "bool"))
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(1, 1000).Draw(t, "count")))
	case reflect.Int64:
		v.SetInt(rapid.Int64Range(-1, 1<<40).Draw(t, "figure"))
	default:
		t.Fatalf("nothing to fill a %v with", v.Type())
	}
}

func TestWhatIsWrittenSatisfiesTheSchema(t *testing.T) {
	s := compiled(t)
	rapid.Check(t, func(t *rapid.T) {
		var plan scheduler.Plan
		fill(t, reflect.ValueOf(&plan).Elem())
		data, err := planfile.Write(&plan)
		if err != nil {
			t.Fatal(err)
		}
		if err := valid(s, data); err != nil {
			t.Fatalf("%v\n%s", err, data)
		}
		if bytes.Contains(data, []byte(": null")) {
			t.Fatalf("a list is null\n%s", data)
		}
	})
}

// What the planner really returns satisfies it too, for jobs with every feature.
func TestRealPlansSatisfyTheSchema(t *testing.T) {
	s := compiled(t)
	for seed := range uint64(30) {
		job := randomjob.New(seed, randomjob.Size{Tight: int(seed)})
		plan, err := planner.Plan(t.Context(), job, planner.Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		data, err := planfile.Write(plan)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if err := valid(s, data); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
}

func TestTheEmptyPlanHasItsLists(t *testing.T) {
	data, err := planfile.Write(&scheduler.Plan{Engine: 1, Job: "x"})
	if err != nil {
		t.Fatal(err)
	}
	if err := valid(compiled(t), data); err != nil {
		t.Error(err)
	}
}

// Every type of the plan has its definition, with the same keys, required exactly
// where they are always written.
func TestSchemaNamesEveryField(t *testing.T) {
	var doc struct {
		definition
		Defs map[string]definition `json:"$defs"`
	}
	if err := json.Unmarshal(planfile.Schema(), &doc); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		kind reflect.Type
		def  definition
	}{
		"plan":          {reflect.TypeFor[scheduler.Plan](), doc.definition},
		"step":          {reflect.TypeFor[scheduler.PlannedStep](), doc.Defs["step"]},
		"driver":        {reflect.TypeFor[scheduler.Driver](), doc.Defs["driver"]},
		"need":          {reflect.TypeFor[scheduler.Need](), doc.Defs["need"]},
		"wait":          {reflect.TypeFor[scheduler.PlannedWait](), doc.Defs["wait"]},
		"hold":          {reflect.TypeFor[scheduler.PlannedHold](), doc.Defs["hold"]},
		"order":         {reflect.TypeFor[scheduler.PlannedOrder](), doc.Defs["order"]},
		"window":        {reflect.TypeFor[scheduler.Window](), doc.Defs["window"]},
		"aim":           {reflect.TypeFor[scheduler.Aim](), doc.Defs["aim"]},
		"due":           {reflect.TypeFor[scheduler.PlannedDue](), doc.Defs["due"]},
		"cover":         {reflect.TypeFor[scheduler.PlannedCover](), doc.Defs["cover"]},
		"contradiction": {reflect.TypeFor[scheduler.Contradiction](), doc.Defs["contradiction"]},
		"statement":     {reflect.TypeFor[scheduler.Statement](), doc.Defs["statement"]},
		"alert":         {reflect.TypeFor[scheduler.Alert](), doc.Defs["alert"]},
	} {
		var keys, required []string
		for field := range c.kind.Fields() {
			key, options, _ := strings.Cut(field.Tag.Get("json"), ",")
			if key == "-" {
				continue
			}
			keys = append(keys, key)
			if options != "omitempty" {
				required = append(required, key)
			}
		}
		slices.Sort(keys)
		if diff := cmp.Diff(keys, slices.Sorted(maps.Keys(c.def.Properties))); diff != "" {
			t.Errorf("%s: keys: %s", name, diff)
		}
		slices.Sort(required)
		slices.Sort(c.def.Required)
		if diff := cmp.Diff(required, c.def.Required); diff != "" {
			t.Errorf("%s: required: %s", name, diff)
		}
		if c.def.AdditionalProperties == nil || *c.def.AdditionalProperties {
			t.Errorf("%s: other keys are let through", name)
		}
	}
}

type definition struct {
	Properties           map[string]any `json:"properties"`
	Required             []string       `json:"required"`
	AdditionalProperties *bool          `json:"additionalProperties"`
}

// The schema is no sieve: each of these is turned away.
func TestSchemaTurnsAway(t *testing.T) {
	s := compiled(t)
	good, err := planfile.Write(&scheduler.Plan{Engine: 1, Job: "x", Alerts: []scheduler.Alert{{Kind: scheduler.Loop, Severity: scheduler.Grave}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{`"job": "x"`, `"job": ""`},
		{`"job": "x"`, `"jobs": "x"`},
		{`"job": "x"`, `"job": "x", "more": 1`},
		{`"steps": []`, `"steps": null`},
		{`"steps": []`, `"steps": [{}]`},
		{`"proven": false`, `"proven": "no"`},
		{`"severity": "grave"`, `"severity": "dire"`},
		{`"kind": "loop"`, `"kind": "knot"`},
		{`"as_of": "0001-01-01T00:00:00Z"`, `"as_of": "yesterday"`},
	} {
		bad := strings.Replace(string(good), c[0], c[1], 1)
		if bad == string(good) {
			t.Fatalf("%s is not in it", c[0])
		}
		if valid(s, []byte(bad)) == nil {
			t.Errorf("%s was let through", c[1])
		}
	}
}

func TestWriteLeavesThePlanAlone(t *testing.T) {
	plan := &scheduler.Plan{Steps: []scheduler.PlannedStep{{ID: "a"}}}
	if _, err := planfile.Write(plan); err != nil {
		t.Fatal(err)
	}
	if plan.Steps[0].Drivers != nil || plan.Waits != nil {
		t.Error("the plan was changed")
	}
}
