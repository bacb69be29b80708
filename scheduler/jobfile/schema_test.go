package jobfile_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler/jobfile"
)

func compileSchema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(jobfile.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("job.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("job.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON is a YAML node as an editor's checker sees it: days are text.
func asJSON(t testing.TB, n *yaml.Node) any {
	t.Helper()
	switch n.Kind {
	case yaml.DocumentNode:
		return asJSON(t, n.Content[0])
	case yaml.MappingNode:
		m := map[string]any{}
		for k := 0; k+1 < len(n.Content); k += 2 {
			m[n.Content[k].Value] = asJSON(t, n.Content[k+1])
		}
		return m
	case yaml.SequenceNode:
		l := []any{}
		for _, c := range n.Content {
			l = append(l, asJSON(t, c))
		}
		return l
	}
	switch n.ShortTag() {
	case "!!int":
		v, err := strconv.Atoi(n.Value)
		if err != nil {
			t.Fatal(err)
		}
		return v
	case "!!float":
		v, err := strconv.ParseFloat(n.Value, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	case "!!bool":
		return n.Value == "true"
	case "!!null":
		return nil
	}
	return n.Value
}

func validate(t testing.TB, s *jsonschema.Schema, data []byte) error {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal(data, &n); err != nil {
		t.Fatalf("%v in\n%s", err, data)
	}
	return s.Validate(asJSON(t, &n))
}

// TestGoodFilesAreGoodForBoth reads every job file of the project.
func TestGoodFilesAreGoodForBoth(t *testing.T) {
	s := compileSchema(t)
	files, err := filepath.Glob("../../testdata/*.job.yaml")
	if err != nil || len(files) < 2 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		if filepath.Base(file) == "mistakes.job.yaml" {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := jobfile.Read(file, data); err != nil {
			t.Errorf("the reader refuses:\n%v", err)
		}
		if err := validate(t, s, data); err != nil {
			t.Errorf("the schema refuses %s: %v", file, err)
		}
	}
}

// TestMistakesAreRefusedByBoth spoils a good file in one place at a time, by a
// mistake that a schema can express. Each old text stands in the file once.
func TestMistakesAreRefusedByBoth(t *testing.T) {
	s := compileSchema(t)
	good := readFile(t, everyFeature)
	for _, c := range []struct{ name, old, new string }{
		{"unknown key at the top", "zone: Europe/Vienna", "zone: Europe/Vienna\ncolour: green"},
		{"unknown key of a task", "    title: Frame and brace the walls", "    title: Frame and brace the walls\n    colour: green"},
		{"no title", "title: Garden studio, every key shown once\n", ""},
		{"no week", "\nweek:\n  monday: [07:30-12:00, 12:30-16:00]", "\ntuesday:\n  monday: [07:30-12:00, 12:30-16:00]"},
		{"empty title", "title: Sill height measured", "title: \"  \""},
		{"number for a title", "title: Frame seen before cover", "title: 12"},
		{"nothing for a title", "title: Frame seen before cover", "title:"},
		{"day of no calendar form", "start: 2026-03-02", "start: 2.3.2026"},
		{"day too far", "on: 2026-06-30", "on: 2226-06-30"},
		{"month 13", "on: 2026-06-30", "on: 2026-13-30"},
		{"zone of this machine", "zone: Europe/Vienna", "zone: Local"},
		{"working span without unit", "takes: 6 days", "takes: 6"},
		{"span of unknown unit", "takes: 6 days", "takes: 6 moons"},
		{"span of several", "takes: 6 days", "takes: 6 day"},
		{"span less than nothing", "takes: 6 days", "takes: -6 days"},
		{"span with a fraction", "takes: 6 days", "takes: 1.5 days"},
		{"elapsed notice of a trade", "notice: 5 days", "notice: 5 elapsed days"},
		{"elapsed notice of a hold", "notice: 2 days", "notice: 2 elapsed days"},
		{"elapsed unloading", "unload: 2 hours", "unload: 2 elapsed hours"},
		{"working exposure", "exposed: 90 elapsed days", "exposed: 90 days"},
		{"no exposure", "exposed: 90 elapsed days", "exposed: 0 elapsed days"},
		{"elapsed day of work", "day: 8 hours", "day: 8 elapsed hours"},
		{"day of work in days", "day: 8 hours", "day: 1 day"},
		{"period without end", "monday: [08:00-12:00, 13:00-17:00]", "monday: [08:00, 13:00-17:00]"},
		{"hour 25", "tuesday: [08:00-12:00]", "tuesday: [08:00-25:00]"},
		{"unknown weekday", "friday: [08:00-16:00]", "freeday: [08:00-16:00]"},
		{"list for a mapping", "gear:\n  lift: {title: Tracked lift, count: 1}", "gear:\n  - {title: Tracked lift, count: 1}"},
		{"mapping for a list", "closures:\n  - {from: 2026-04-06, to: 2026-04-06, why: public holiday}", "closures: {from: 2026-04-06, to: 2026-04-06}"},
		{"word for a list", "cautions: [lifting]\n    after:\n      - {finish: sizes-frozen", "cautions: lifting\n    after:\n      - {finish: sizes-frozen"},
		{"fraction of a crew", "crews: 1\n    place: house", "crews: 1.5\n    place: house"},
		{"worst of no unit", "at-worst: 9 days", "at-worst: 9"},
		{"no crew", "crews: 1\n    place: house", "crews: 0\n    place: house"},
		{"no gear", "count: 1", "count: 0"},
		{"room below nothing", "{title: Studio, within: site, room: 3}", "{title: Studio, within: site, room: -3}"},
		{"text for true", "alone: true", "alone: yes"},
		{"unknown role", "role: site lead", "role: boss"},
		{"unknown kind", "kind: measure", "kind: feeling"},
		{"unknown caution", "cautions: [structure, height, temporary support]", "cautions: [structure, hight]"},
		{"caution twice", "cautions: [structure, height, temporary support]", "cautions: [height, height]"},
		{"unknown reason", "reason: cure", "reason: because"},
		{"name with capitals", "  sizes-frozen: {title", "  Sizes_Frozen: {title"},
		{"short name too long", "short: FR", "short: FRAME"},
		{"trade and trades", "trades: [windows]", "trades: [windows]\n    trade: windows"},
		{"place and places", "places: [wall-north]\n    takes: 4 hours", "places: [wall-north]\n    place: wall-north\n    takes: 4 hours"},
		{"place twice", "places: [opening-n1, opening-n2]", "places: [opening-n1, opening-n1]"},
		{"typical without places", "places: [opening-n1, opening-n2]", "places: []"},
		{"start and finish", "- {finish: tape, reason: buried}", "- {finish: tape, start: tape, reason: buried}"},
		{"neither start nor finish", "- {finish: tape, reason: buried}", "- {reason: buried}"},
		{"wait to nothing", "    to: {start: tape}\n    least", "    to: {}\n    least"},
		{"task without length", "    takes: 6 days\n", ""},
		{"hold without kind", "title: Window sizes frozen, kind: decision, by: bo", "title: Window sizes frozen, by: bo"},
		{"hold without a person", "kind: decision, by: bo", "kind: decision"},
		{"witness point without notice", "    notice: 3 days\n", ""},
		{"nominal of an inspection", "notice: 2 days", "notice: 2 days\n    nominal: 5"},
		{"tolerance of nothing", "    nominal: 900\n", ""},
		{"negative tolerance", "tolerance: 5", "tolerance: -5"},
		{"stage called delivery", "carriage: {title", "delivery: {title"},
		{"stage without length", "title: Made, takes: 4 weeks", "title: Made"},
		{"layer by nobody", "material: larch, thickness: 24, by: clad", "material: larch, thickness: 24"},
		{"layer thinner than nothing", "thickness: 24", "thickness: -24"},
		{"occupation of place and gear", "gear: lift\n    from", "gear: lift\n    place: house\n    from"},
		{"occupation of nothing", "    gear: lift\n    from", "    from"},
		{"occupation of gear, alone", "gear: lift\n    from", "gear: lift\n    alone: true\n    from"},
		{"sheet of nothing", "title: Window surround, steps: [openings.set]", "title: Window surround"},
		{"sheet sent out in no revision", "revision: C, on: 2026-03-27", "on: 2026-03-27"},
		{"unknown key of the site", "  parking: two cars", "  garage: two cars"},
		{"list for words of the site", "power: 230 V at the meter box, water at the garden tap", "power: [230 V]"},
		{"due without a day", ", on: 2026-06-30", ""},
		{"fact that says nothing", "windows.making: {started: 2026-03-19}", "windows.making: {}"},
		{"released by nobody", "released: 2026-03-05, by: bo", "released: 2026-03-05"},
		{"refused by nobody", "refused: 2026-04-10, measured: 908, by: kim", "refused: 2026-04-10, measured: 908"},
		{"remaining of what was not started", "started: 2026-04-07, remaining", "remaining"},
		{"remaining of what is done", "remaining: 3 days", "remaining: 3 days, done: 2026-04-10"},
		{"time without a colon", "started: 2026-03-06 08:00", "started: 2026-03-06 0800"},
		{"waiver without reason", "\n    reason: The north wall stands and is braced already", ""},
		{"waiver with an empty reason", "reason: The north wall stands and is braced already", "reason: \"\""},
		{"pin without a day", "on: 2026-06-22, ", ""},
		{"pin with two days", "on: 2026-06-22, ", "on: 2026-06-22, not-before: 2026-06-22, "},
		{"aside of nothing", "alert: \"loose end: paint-inside\"", "alert: \"\""},
		{"aside by nobody", "paint-inside\", by: kim", "paint-inside\""},
		{"issue of no letter", "  A: {on: 2026-04-08", "  a: {on: 2026-04-08"},
		{"issue by nobody", "as-of: 2026-04-08, by: ida", "as-of: 2026-04-08"},
		{"promise of no window", "  windows.wall-north.tape:\n", "  windows.tape:\n"},
		{"promise without steps", "steps: [tape]", "steps: []"},
		{"promise neither issued nor confirmed", "until: 2026-05-27, issue: A}", "until: 2026-05-27}"},
		{"confirmed by nobody", "    confirmed: 2026-04-10\n    by: windows\n", "    confirmed: 2026-04-10\n"},
		{"confirmed at no time", "    confirmed: 2026-04-10\n    by: windows\n", "    by: windows\n"},
		{"answer without a day", "    on: 2026-04-10\n    by: windows\n", "    by: setter\n"},
		{"weather that says nothing", "weather: {dry: true, wind-below: 9, min-temperature: -10}", "weather: {}"},
		{"wind of no speed", "wind-below: 9", "wind-below: 0"},
		{"too cold to be meant", "min-temperature: -10", "min-temperature: -100"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if n := bytes.Count(good, []byte(c.old)); n != 1 {
				t.Fatalf("%q stands in the file %d times", c.old, n)
			}
			spoilt := bytes.Replace(good, []byte(c.old), []byte(c.new), 1)
			if _, err := jobfile.Read("a", spoilt); err == nil {
				t.Error("the reader takes it")
			}
			if err := validate(t, s, spoilt); err == nil {
				t.Error("the schema takes it")
			}
		})
	}
}
