package api

import (
	"bytes"
	"io"
	"reflect"
	"sync/atomic"

	"gaugerod/api/office"
)

// kept is part of bodies that are the same for all who read a sheet. Read a second time,
// such a body is kept beside the sheet as it was written: many sheets are read once
// before the next change, and what is kept of them would only take room.
type kept struct {
	beside *office.Beside // nil: it is written each time
}

// keptSteps is how many steps a sheet has at most whose bodies are kept: its plan is
// written on a good megabyte then.
const keptSteps = 500

func keptBeside(sheet *office.Sheet) kept {
	if len(sheet.Plan.Steps) > keptSteps {
		return kept{}
	}
	return kept{&sheet.Beside}
}

func (k kept) place() *office.Beside { return k.beside }

// keptKey is under what a body is kept: there is one of each type.
type keptKey struct{ body reflect.Type }

// readKey is under what it is noted that a body was read.
type readKey struct{ body reflect.Type }

// writeKept writes a body as write does, or as it was written before.
func writeKept(w io.Writer, v any, write func(io.Writer, any) error) error {
	body, ok := v.(interface{ place() *office.Beside })
	if !ok || body.place() == nil {
		return write(w, v)
	}
	kind := reflect.TypeOf(v)
	if read := body.place().Once(readKey{kind}, func() any { return new(atomic.Bool) }).(*atomic.Bool); !read.Swap(true) {
		return write(w, v)
	}
	made := body.place().Once(keptKey{kind}, func() any {
		var b bytes.Buffer
		if err := write(&b, v); err != nil {
			return err
		}
		return bytes.Clone(b.Bytes())
	})
	if err, failed := made.(error); failed {
		return err
	}
	_, err := w.Write(made.([]byte))
	return err
}
