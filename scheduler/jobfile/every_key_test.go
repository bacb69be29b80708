package jobfile

import (
	"os"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// TestEveryFeatureFileUsesEveryKey keeps the example true to its first line.
func TestEveryFeatureFileUsesEveryKey(t *testing.T) {
	data, err := os.ReadFile("../../testdata/every-feature.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	note(jobTable.outline(), doc.Content[0], used)
	var missing []string
	seen := map[string]bool{}
	var walk func(o *outline)
	walk = func(o *outline) {
		if seen[o.name] {
			return
		}
		seen[o.name] = true
		for _, k := range o.keys {
			if !used[o.name+"."+k.name] {
				missing = append(missing, o.name+"."+k.name)
			}
			if k.inner != nil {
				walk(k.inner)
			}
		}
	}
	walk(jobTable.outline())
	if len(missing) > 0 {
		t.Errorf("it does not use %s", strings.Join(missing, ", "))
	}
}

// note marks the keys of a mapping, and of what stands under them.
func note(o *outline, n *yaml.Node, used map[string]bool) {
	for k := 0; k+1 < len(n.Content); k += 2 {
		for _, key := range o.keys {
			if key.name != n.Content[k].Value {
				continue
			}
			used[o.name+"."+key.name] = true
			if key.inner != nil {
				noteAll(key.inner, n.Content[k+1], used)
			}
		}
	}
}

// noteAll marks a mapping by the table, or each mapping in a list or under names.
func noteAll(o *outline, n *yaml.Node, used map[string]bool) {
	note(o, n, used)
	for _, c := range n.Content {
		if c.Kind == yaml.MappingNode {
			note(o, c, used)
		}
	}
}
