package jobfile

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
)

// syntaxWords says in plain words what the YAML parser complains of.
var syntaxWords = []struct{ complaint, what, mend string }{
	{"mapping values are not allowed", "a colon followed by a blank stands within a text here, or the key before it has no colon", "put the text in quotation marks, or mend the line before"},
	{"did not find expected ',' or '}'", `a comma or a "}" is missing here`, "close what was opened; put texts with commas, colons or brackets in quotation marks"},
	{"did not find expected ',' or ']'", `a comma or a "]" is missing here`, "close what was opened; put texts with commas, colons or brackets in quotation marks"},
	{"did not find expected key", "the blanks before this line fit none of the lines above", "begin the line exactly below the one it belongs with"},
	{"did not find expected '-' indicator", "a line without a hyphen stands in a list", "begin it with a hyphen, or exactly below the one it belongs with"},
	{"cannot start any token", "a character stands here that nothing begins with", "put the text in quotation marks"},
	{"unexpected end of stream", "a text in quotation marks begins here and does not end", "close the quotation marks"},
	{"control characters are not allowed", "a control character stands in the file", "leave it out"},
	{"exceeded max depth", "brackets are nested without end", "close what was opened"},
}

var (
	syntaxLine    = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)
	unknownAnchor = regexp.MustCompile(`unknown anchor '([^']*)' referenced`)
)

// syntax notes what the YAML parser says. It stops at the first mistake, so this
// is the only fault there is.
func (r *reader) syntax(err error, data []byte) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	if m := unknownAnchor.FindStringSubmatch(message); m != nil {
		r.faultAt(find(data, "*"+m[1]), "*"+m[1], "*"+m[1]+" refers to something written elsewhere, which job files do not do", mendAlias)
		return
	}
	if m := syntaxLine.FindStringSubmatch(err.Error()); m != nil {
		message = m[2]
	}
	what, mend := "this is not YAML: "+message, "look at the blanks before the keys, the colons and the quotation marks here and on the line before"
	for _, w := range syntaxWords {
		if strings.Contains(message, w.complaint) {
			what, mend = w.what, w.mend
		}
	}
	pos := scheduler.Pos{Line: problemLine(err, data)}
	text := lineOf(data, pos.Line)
	pos.Column = len(text) - len(strings.TrimLeft(text, " \t")) + 1
	if strings.Contains(message, "cannot start any token") && strings.Contains(text, "\t") {
		what, mend = "a tab stands before this line", "write blanks instead of tabs"
	}
	r.faultAt(pos, strings.TrimSpace(text), what, mend)
}

// problemLine is the first line with which the parser's complaint comes up. The
// parser itself names the line where what it was reading begins, often many lines
// above. Each try parses a part of the file, so a large one is not searched.
func problemLine(complaint error, data []byte) int {
	line := 1
	if m := syntaxLine.FindStringSubmatch(complaint.Error()); m != nil {
		line, _ = strconv.Atoi(m[1]) // digits, by the pattern
	}
	const most = 1 << 20
	if len(data) > most {
		return line
	}
	ends := []int{}
	for at, b := range data {
		if b == '\n' {
			ends = append(ends, at+1)
		}
	}
	ends = append(ends, len(data))
	found := sort.Search(len(ends), func(k int) bool {
		err := parseAll(data[:ends[k]])
		return err != nil && err.Error() == complaint.Error()
	})
	if found == len(ends) {
		return line
	}
	return found + 1
}

// parseAll is the parser's first complaint in any document of a file.
func parseAll(data []byte) error {
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	for {
		var n yaml.Node
		if err := decoder.Decode(&n); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// notUTF8 notes the first byte that is no part of a UTF-8 text; it is false where
// there is none.
func (r *reader) notUTF8(data []byte) bool {
	if utf8.Valid(data) {
		return false
	}
	at := 0
	for at < len(data) {
		c, size := utf8.DecodeRune(data[at:])
		if c == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	r.faultAt(positionOf(data, at), "", "the file is not in UTF-8 from here on", "save it as UTF-8")
	return true
}

// find is where some text first stands, the start of the file if it does not.
func find(data []byte, text string) scheduler.Pos {
	return positionOf(data, max(0, bytes.Index(data, []byte(text))))
}

// positionOf is the line and column of a byte.
func positionOf(data []byte, at int) scheduler.Pos {
	before := data[:at]
	return scheduler.Pos{
		Line:   bytes.Count(before, []byte("\n")) + 1,
		Column: utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1,
	}
}

func lineOf(data []byte, line int) string {
	for k := 1; k < line; k++ {
		at := bytes.IndexByte(data, '\n')
		if at < 0 {
			return ""
		}
		data = data[at+1:]
	}
	text, _, _ := bytes.Cut(data, []byte("\n"))
	return string(bytes.TrimRight(text, "\r"))
}
