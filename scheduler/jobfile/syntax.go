package jobfile

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"

	"gaugerod/scheduler"
)

var (
	syntaxLine    = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)
	unknownAnchor = regexp.MustCompile(`unknown anchor '([^']*)' referenced`)
)

// syntax notes what the YAML parser says. It stops at the first mistake, so this
// is the only fault there is.
func (r *reader) syntax(err error, data []byte) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	pos := start
	if m := unknownAnchor.FindStringSubmatch(message); m != nil {
		r.faultAt(find(data, "*"+m[1]), "*"+m[1], "*"+m[1]+" refers to something written elsewhere, which job files do not do", mendAlias)
		return
	}
	if m := syntaxLine.FindStringSubmatch(err.Error()); m != nil {
		if line, err := strconv.Atoi(m[1]); err == nil {
			pos.Line = line
		}
		message = m[2]
	}
	text := lineOf(data, pos.Line)
	pos.Column = len(text) - len(strings.TrimLeft(text, " \t")) + 1
	mend := "look at the blanks before the keys, the colons and the quotation marks here and on the line before"
	if strings.Contains(text, "\t") {
		mend = "write blanks instead of tabs"
	}
	r.faultAt(pos, strings.TrimSpace(text), "this is not YAML: "+message, mend)
}

// find is where some text first stands, the start of the file if it does not.
func find(data []byte, text string) scheduler.Pos {
	at := bytes.Index(data, []byte(text))
	if at < 0 {
		return start
	}
	before := data[:at]
	return scheduler.Pos{
		Line:   bytes.Count(before, []byte("\n")) + 1,
		Column: len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:]))) + 1,
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
