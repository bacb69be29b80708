package jobfile

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"gaugerod/scheduler"
)

// definition is what of a schema the reader's tables can be compared with.
type definition struct {
	Title                string                `json:"title"`
	Description          string                `json:"description"`
	Ref                  string                `json:"$ref"`
	Type                 string                `json:"type"`
	Properties           map[string]definition `json:"properties"`
	AdditionalProperties json.RawMessage       `json:"additionalProperties"`
	Items                *definition           `json:"items"`
	Required             []string              `json:"required"`
	OneOf                []definition          `json:"oneOf"`
	AllOf                []definition          `json:"allOf"`
	Not                  *definition           `json:"not"`
	Enum                 []string              `json:"enum"`
	Defs                 map[string]definition `json:"$defs"`
}

func parseSchema(t *testing.T) definition {
	t.Helper()
	var d definition
	if err := json.Unmarshal(Schema(), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// TestSchemaHasTheReadersKeys walks the reader's tables and the schema together:
// the same keys, the same of them required, the same that exclude each other, and
// under each key the same kind of thing.
func TestSchemaHasTheReadersKeys(t *testing.T) {
	schema := parseSchema(t)
	seen := map[string]bool{}
	var walk func(o *outline, d definition)
	walk = func(o *outline, d definition) {
		if seen[o.name] {
			return
		}
		seen[o.name] = true
		var keys, required []string
		for _, k := range o.keys {
			keys = append(keys, k.name)
			if k.must {
				required = append(required, k.name)
			}
			p, ok := d.Properties[k.name]
			if !ok {
				continue // told by the comparison below
			}
			if k.inner != nil {
				if holds := held(t, p); holds != k.inner.name {
					t.Errorf("%s of %s: the schema has %q there, the reader %q", k.name, o.name, holds, k.inner.name)
				}
				walk(k.inner, schema.Defs[k.inner.name])
			}
		}
		var properties []string
		for name := range d.Properties {
			properties = append(properties, name)
		}
		same(t, o.name+": keys", keys, properties)
		same(t, o.name+": required keys", required, d.Required)
		var oneOf []string
		for _, one := range d.OneOf {
			oneOf = append(oneOf, one.Required...)
		}
		same(t, o.name+": exactly one of", o.oneOf, oneOf)
		var pairs, excluded []string
		for _, p := range o.notBoth {
			pairs = append(pairs, strings.Join(p, "+"))
		}
		for _, a := range d.AllOf {
			if a.Not != nil && len(a.Not.Required) == 2 && o.name != "fact" {
				excluded = append(excluded, strings.Join(a.Not.Required, "+"))
			}
		}
		same(t, o.name+": not both", pairs, excluded)
		if string(d.AdditionalProperties) != "false" {
			t.Errorf("%s: the schema lets unknown keys pass", o.name)
		}
		if d.Title == "" || d.Description == "" {
			t.Errorf("%s: the schema has no title or description to show", o.name)
		}
	}
	walk(jobTable.outline(), schema)
	if len(seen) < 20 {
		t.Errorf("only %d tables were compared", len(seen))
	}
	for name, d := range schema.Defs {
		if d.Type == "object" && !seen[name] {
			t.Errorf("the schema defines %q, which the reader does not have", name)
		}
	}
}

// TestSchemaHasTheModelsWords compares the lists of words that may stand somewhere.
func TestSchemaHasTheModelsWords(t *testing.T) {
	schema := parseSchema(t)
	for name, words := range map[string][]string{
		"role":      strs(scheduler.Roles),
		"hold-kind": strs(scheduler.HoldKinds),
		"caution":   strs(scheduler.Cautions),
		"reason":    strs(scheduler.Reasons),
	} {
		same(t, name, words, schema.Defs[name].Enum)
	}
}

func strs[S ~string](all []S) []string {
	out := make([]string, len(all))
	for k, s := range all {
		out[k] = string(s)
	}
	return out
}

// held is the definition that a property refers to, directly, for each item or for
// each name.
func held(t *testing.T, p definition) string {
	t.Helper()
	ref := p.Ref
	if p.Items != nil {
		ref = p.Items.Ref
	}
	if ref == "" {
		var each definition
		if err := json.Unmarshal(p.AdditionalProperties, &each); err != nil {
			t.Error(err)
		}
		ref = each.Ref
	}
	return strings.TrimPrefix(ref, "#/$defs/")
}

func same(t *testing.T, what string, reader, schema []string) {
	t.Helper()
	slices.Sort(reader)
	slices.Sort(schema)
	if d := cmp.Diff(reader, schema, cmpopts.EquateEmpty()); d != "" {
		t.Errorf("%s (-reader +schema):\n%s", what, d)
	}
}
