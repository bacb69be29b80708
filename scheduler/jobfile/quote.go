package jobfile

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// plain is a single value as it is written, in quotation marks where it would be
// read as something else. Text has the tag !!str; whatever has another is of a
// form that needs none. Within brackets more characters have a meaning.
func plain(n *yaml.Node, inBrackets bool) string {
	if n.Tag != "!!str" || needsNoQuotes(n.Value, inBrackets) {
		return n.Value
	}
	return doubleQuoted(n.Value)
}

// needsNoQuotes is true only for what every reader of YAML takes for text.
func needsNoQuotes(s string, inBrackets bool) bool {
	if s == "" || strings.TrimSpace(s) != s || len(s) > 1000 {
		return false
	}
	first, _ := utf8.DecodeRuneInString(s)
	switch {
	case unicode.IsDigit(first):
		// "2 litres" is text; "2", "2e3", "2:30" and "2026-03-02" may be none.
		_, after, _ := strings.Cut(s, " ")
		if r, _ := utf8.DecodeRuneInString(after); !unicode.IsLetter(r) {
			return false
		}
	case !unicode.IsLetter(first):
		return false
	}
	switch strings.ToLower(s) {
	case "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return false
	}
	if strings.HasSuffix(s, ":") || strings.Contains(s, ": ") || strings.Contains(s, " #") {
		return false
	}
	if inBrackets && strings.ContainsAny(s, ",[]{}?:") {
		return false
	}
	return !strings.ContainsFunc(s, func(r rune) bool { return mustEscape(r) || (r != ' ' && unicode.IsSpace(r)) })
}

// mustEscape says whether a character cannot stand in a file as it is.
func mustEscape(r rune) bool {
	return r != ' ' && !unicode.IsPrint(r)
}

func doubleQuoted(s string) string {
	if !utf8.ValidString(s) {
		return s // Write refuses it
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case !mustEscape(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			fmt.Fprintf(&b, `\u%04X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
