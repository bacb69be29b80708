package jobfile

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// lineWidth is how long a line may get before a mapping is written over several.
const lineWidth = 110

// Write writes a job as a job file: keys in the order of the tables, sections apart,
// short things on one line. What Read reads from it is the same job in canonical
// form; comments of a file it was read from are not kept.
func Write(job *scheduler.Job) ([]byte, error) {
	top := jobTable.write(newDocument(job))
	var out bytes.Buffer
	for k := 0; k < len(top.Content); k += 2 {
		key, value := top.Content[k], top.Content[k+1]
		if value.Kind == yaml.MappingNode || value.Kind == yaml.SequenceNode {
			layOut(value, 0)
			value.Style = 0 // a section is always written over several lines
			if key.Value != "week" {
				out.WriteByte('\n')
			}
		}
		if err := writeSection(&out, key, value); err != nil {
			return nil, fmt.Errorf("write %s of job %s: %w", key.Value, job.ID, err)
		}
	}
	return out.Bytes(), nil
}

func writeSection(out *bytes.Buffer, key, value *yaml.Node) error {
	e := yaml.NewEncoder(out)
	e.SetIndent(2)
	if err := e.Encode(&yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{key, value}}); err != nil {
		return err
	}
	return e.Close()
}

// layOut decides which mappings and lists stand on one line: those that fit and
// hold at most one level of others. indent is the column of the node. It returns
// the length of the node on one line and how deep it is.
func layOut(n *yaml.Node, indent int) (length, depth int) {
	if n.Kind == yaml.ScalarNode {
		return utf8.RuneCountInString(n.Value) + 2, 0
	}
	length = 2
	own := 0 // the length of the key before a value
	for k, c := range n.Content {
		l, d := layOut(c, indent+2)
		if n.Kind == yaml.MappingNode && k%2 == 0 {
			own = l
		}
		length += l
		depth = max(depth, d+1)
	}
	_ = own
	n.Style = 0
	if depth <= 2 && indent+length <= lineWidth {
		n.Style = yaml.FlowStyle
	}
	return length, depth
}
