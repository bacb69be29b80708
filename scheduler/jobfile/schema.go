package jobfile

import (
	"bytes"
	_ "embed"
)

//go:embed schema.json
var schema []byte

// Schema is a JSON Schema (draft 2020-12) of the job file, with which editors
// complete keys and mark what is wrong. It knows the shape and the words; what
// Read holds beyond it is what one place in the file says of another.
func Schema() []byte { return bytes.Clone(schema) }
