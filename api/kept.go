package api

import (
	"bytes"
	"io"
	"reflect"

	"gaugerod/api/office"
)

// kept is part of bodies that are the same for all who read a sheet. Written once, such
// a body is kept beside the sheet.
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

// writeKept writes a body as write does, or as it was written before.
func writeKept(w io.Writer, v any, write func(io.Writer, any) error) error {
	body, ok := v.(interface{ place() *office.Beside })
	if !ok || body.place() == nil {
		return write(w, v)
	}
	made := body.place().Once(keptKey{reflect.TypeOf(v)}, func() any {
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
