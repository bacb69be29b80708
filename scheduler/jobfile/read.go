package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// Limits on a job file.
const (
	MaxSize   = 8 << 20 // bytes
	maxDepth  = 12      // levels; the deepest key of a job is on the seventh
	maxFaults = 5000    // told one by one
)

// Read reads a job file; name is what faults call it. The error is
// scheduler.Faults with everything that is wrong, in the order of the file. A job
// that is returned is sound (package rules) and canonical.
func Read(name string, data []byte) (*scheduler.Job, error) {
	r := newReader()
	if job := r.readJob(data); job != nil {
		return job, nil
	}
	return nil, r.sorted(name)
}

// readJob is the sound job of a file, nil where there are faults.
func (r *reader) readJob(data []byte) *scheduler.Job {
	root := r.parse(data)
	if root == nil {
		return nil
	}
	r.root = root
	r.things[scheduler.Pos{}] = root
	r.tame(root, 1)
	doc := &document{}
	whole := jobTable.read(r, spot{thing: "the job"}, root, doc)
	job := doc.job()
	if whole && !r.sectionBroken() {
		r.addRules(job)
	}
	if len(r.faults) > 0 {
		return nil
	}
	return job
}

// parse is the one document's top mapping or list, nil with a fault where there is none.
func (r *reader) parse(data []byte) *yaml.Node {
	if len(data) > MaxSize {
		r.faultAt(start, "", fmt.Sprintf("the file has %d bytes", len(data)), fmt.Sprintf("job files are at most %d bytes long", MaxSize))
		return nil
	}
	if r.notUTF8(data) {
		return nil
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var doc, next yaml.Node
	switch err := decoder.Decode(&doc); {
	case errors.Is(err, io.EOF) || (err == nil && len(doc.Content) == 0):
		r.faultAt(start, "", "the file is empty", "begin with job: and a short name for it")
		return nil
	case err != nil:
		r.syntax(err, data)
		return nil
	}
	switch err := decoder.Decode(&next); {
	case err == nil:
		r.faultAt(position(&next), "---", "a second document begins here", "keep one job in a file")
	case !errors.Is(err, io.EOF):
		r.syntax(err, data)
	}
	return doc.Content[0]
}

// start is where a file begins.
var start = scheduler.Pos{Line: 1, Column: 1}

func position(n *yaml.Node) scheduler.Pos { return scheduler.Pos{Line: n.Line, Column: n.Column} }
