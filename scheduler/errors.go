package scheduler

import (
	"errors"
	"fmt"
	"strings"
)

// ErrNotFound is the domain's answer to a name that nothing has.
var ErrNotFound = errors.New("not found")

// Fault is one mistake in a job: where, what and how to mend it.
type Fault struct {
	File  string // empty when it did not come from a file
	Pos   Pos
	Field string // the key of the thing that it is about ("takes", "by"), where it is one
	Text  string // the offending text
	What  string
	Mend  string
}

// Error is "file:line:column: what, and the mend".
func (f Fault) Error() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File + ":")
	}
	if f.Pos.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", f.Pos.Line, f.Pos.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	b.WriteString(f.What)
	if f.Mend != "" {
		b.WriteString("; " + f.Mend)
	}
	return b.String()
}

// Faults is every mistake found in a job, in the order of the file.
type Faults []Fault

// Error is one line a fault.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for k, f := range fs {
		lines[k] = f.Error()
	}
	return strings.Join(lines, "\n")
}
