package api

import (
	"fmt"
	"io"

	"github.com/danielgtaylor/huma/v2"
)

// deepestJSON is how deep objects and lists of a body may lie in each other. The API
// has none deeper than 5.
const deepestJSON = 24

// jsonWriter is a body that writes itself as JSON, sooner than encoding/json can.
type jsonWriter interface {
	writeJSON(w io.Writer) error
}

// jsonFormat reads and writes bodies. What lies too deep is turned away before it is
// read: reading it would cost more than it took to send.
func jsonFormat() huma.Format {
	format := huma.DefaultJSONFormat
	write := format.Marshal
	format.Marshal = func(w io.Writer, v any) error {
		return writeKept(w, v, func(w io.Writer, v any) error {
			if body, ok := v.(jsonWriter); ok {
				return body.writeJSON(w)
			}
			return write(w, v)
		})
	}
	read := format.Unmarshal
	format.Unmarshal = func(data []byte, v any) error {
		if depthOf(data) > deepestJSON {
			return fmt.Errorf("objects and lists lie more than %d deep in each other", deepestJSON)
		}
		return read(data, v)
	}
	return format
}

// depthOf is how deep objects and lists lie in each other in a text of JSON.
func depthOf(data []byte) int {
	deepest, depth := 0, 0
	quoted, escaped := false, false
	for _, b := range data {
		switch {
		case escaped:
			escaped = false
		case quoted:
			escaped, quoted = b == '\\', b != '"'
		case b == '"':
			quoted = true
		case b == '{' || b == '[':
			depth++
			deepest = max(deepest, depth)
		case b == '}' || b == ']':
			depth--
		}
	}
	return deepest
}
