package jobfile

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// lineWidth is how long a line may get before a mapping is written over several.
const lineWidth = 110

// Write writes a job as a job file: keys in the order of the tables, sections apart,
// what fits on a line on one. What Read reads from it is the same job in canonical
// form; comments of a file it was read from are not kept. Text that is not UTF-8 is
// an error.
func Write(job *scheduler.Job) ([]byte, error) {
	var e emitter
	top := jobTable.write(newDocument(job))
	for k := 0; k+1 < len(top.Content); k += 2 {
		key, value := top.Content[k], top.Content[k+1]
		if value.Kind != yaml.ScalarNode && key.Value != "week" {
			e.out.WriteByte('\n')
		}
		e.out.WriteString(key.Value + ":")
		if value.Kind == yaml.ScalarNode {
			e.inline(value)
		} else {
			e.block(value, 0)
		}
	}
	if out := e.out.String(); utf8.ValidString(out) {
		return []byte(out), nil
	}
	return nil, fmt.Errorf("write job %s: it holds text that is not UTF-8", job.ID)
}

// emitter lays a tree of nodes out as YAML. It is used instead of the library's own
// because that one puts every time of day within brackets in quotation marks.
type emitter struct{ out strings.Builder }

// value writes what comes after a key or a hyphen: on the same line where it fits.
func (e *emitter) value(n *yaml.Node, indent, used int) {
	if line, ok := flow(n); ok && used+1+utf8.RuneCountInString(line) <= lineWidth {
		e.out.WriteString(" " + line + "\n")
		return
	}
	if n.Kind == yaml.ScalarNode {
		e.inline(n)
		return
	}
	e.block(n, indent)
}

func (e *emitter) inline(n *yaml.Node) { e.out.WriteString(" " + plain(n, false) + "\n") }

// block writes a mapping or a list over several lines, begun on the next one.
func (e *emitter) block(n *yaml.Node, indent int) {
	if len(n.Content) == 0 {
		e.out.WriteString(map[yaml.Kind]string{yaml.MappingNode: " {}\n", yaml.SequenceNode: " []\n"}[n.Kind])
		return
	}
	e.out.WriteByte('\n')
	if n.Kind == yaml.MappingNode {
		e.pairs(n, indent+2, strings.Repeat(" ", indent+2))
		return
	}
	for _, item := range n.Content {
		lead := strings.Repeat(" ", indent+2) + "-"
		e.out.WriteString(lead)
		if line, ok := flow(item); ok && len(lead)+1+utf8.RuneCountInString(line) <= lineWidth || item.Kind != yaml.MappingNode {
			e.value(item, indent+2, len(lead))
			continue
		}
		e.pairs(item, indent+4, " ") // the first key stands after the hyphen
	}
}

// pairs writes the keys of a mapping in a column; lead stands before the first.
func (e *emitter) pairs(n *yaml.Node, indent int, lead string) {
	for k := 0; k+1 < len(n.Content); k += 2 {
		key := plain(n.Content[k], false)
		e.out.WriteString(lead + key + ":")
		e.value(n.Content[k+1], indent, indent+utf8.RuneCountInString(key)+1)
		lead = strings.Repeat(" ", indent)
	}
}

// flow is a node on one line: single values, lists of them, and mappings that hold
// no lists of mappings. Those read better one below the other.
func flow(n *yaml.Node) (string, bool) {
	switch n.Kind {
	case yaml.ScalarNode:
		return plain(n, true), true
	case yaml.SequenceNode:
		items := make([]string, len(n.Content))
		for k, c := range n.Content {
			if c.Kind != yaml.ScalarNode {
				return "", false
			}
			items[k] = plain(c, true)
		}
		return "[" + strings.Join(items, ", ") + "]", true
	}
	pairs := make([]string, 0, len(n.Content)/2)
	for k := 0; k+1 < len(n.Content); k += 2 {
		value, ok := flow(n.Content[k+1])
		if !ok {
			return "", false
		}
		pairs = append(pairs, plain(n.Content[k], true)+": "+value)
	}
	return "{" + strings.Join(pairs, ", ") + "}", true
}
