package fill

import (
	"fmt"
	"html/template"
	"reflect"
	"strconv"
	"strings"
)

// The ways to escape that html/template writes into its trees.
const (
	inText      = "_html_template_htmlescaper"
	inTitle     = "_html_template_rcdataescaper"
	inAttribute = "_html_template_attrescaper"
	asAddress   = "_html_template_urlfilter"     // a whole address: only of this site, or of the web
	inAddress   = "_html_template_urlnormalizer" // a part of one that has a path
	inQuery     = "_html_template_urlescaper"    // a part after ? or #
)

// writer appends a value to a page.
type writer func(text []byte, v reflect.Value) []byte

// writerOf is how a type is written in the ways that were worked out for its place.
func writerOf(of reflect.Type, ways []string) writer {
	words := wordsOf(of)
	markup := of == reflect.TypeFor[template.HTML]()
	switch strings.Join(ways, " ") {
	case inText:
		if markup {
			return func(text []byte, v reflect.Value) []byte { return append(text, v.String()...) }
		}
		return func(text []byte, v reflect.Value) []byte { return escaped(text, words(v)) }
	case inTitle, inAttribute:
		if !markup {
			return func(text []byte, v reflect.Value) []byte { return escaped(text, words(v)) }
		}
	case asAddress + " " + inAddress + " " + inAttribute:
		return func(text []byte, v reflect.Value) []byte { return escaped(text, address(harmless(words(v)), true)) }
	case inAddress + " " + inAttribute:
		return func(text []byte, v reflect.Value) []byte { return escaped(text, address(words(v), true)) }
	case inQuery + " " + inAttribute:
		return func(text []byte, v reflect.Value) []byte { return escaped(text, address(words(v), false)) }
	}
	cannot("%s is written in the ways %v", of, ways)
	return nil
}

// wordsOf is what is written of a type.
func wordsOf(of reflect.Type) func(reflect.Value) string {
	stringer := of.Implements(reflect.TypeFor[fmt.Stringer]()) || of.Implements(reflect.TypeFor[error]())
	switch {
	case stringer:
		return func(v reflect.Value) string { return fmt.Sprint(v.Interface()) }
	case of.Kind() == reflect.String:
		return reflect.Value.String
	case of.Kind() == reflect.Int, of.Kind() == reflect.Int64:
		return func(v reflect.Value) string { return strconv.FormatInt(v.Int(), 10) }
	}
	cannot("a %s is written", of)
	return nil
}

// escaped appends words that may stand in text or in a quoted attribute and be nothing
// but words there.
func escaped(text []byte, s string) []byte {
	done := 0
	for k := range len(s) {
		var as string
		switch s[k] {
		case '"':
			as = "&#34;"
		case '\'':
			as = "&#39;"
		case '&':
			as = "&amp;"
		case '<':
			as = "&lt;"
		case '>':
			as = "&gt;"
		case '+':
			as = "&#43;"
		case 0:
			as = "\uFFFD"
		default:
			continue
		}
		text = append(append(text, s[done:k]...), as...)
		done = k + 1
	}
	return append(text, s[done:]...)
}

// harmless is an address that leads to a page; one that would run something leads
// nowhere.
func harmless(s string) string {
	scheme, _, ok := strings.Cut(s, ":")
	if !ok || strings.Contains(scheme, "/") {
		return s
	}
	switch strings.ToLower(scheme) {
	case "http", "https", "mailto":
		return s
	}
	return "#ZgotmplZ"
}

// address writes what cannot stand in an address by its number; in a part of a whole
// address what divides its parts stays.
func address(s string, whole bool) string {
	for k := range len(s) {
		if !stands(s, k, whole) {
			return numbered(s, whole)
		}
	}
	return s
}

func numbered(s string, whole bool) string {
	const digits = "0123456789abcdef"
	var b strings.Builder
	for k := range len(s) {
		if c := s[k]; stands(s, k, whole) {
			b.WriteByte(c)
		} else {
			b.Write([]byte{'%', digits[c>>4], digits[c&15]})
		}
	}
	return b.String()
}

// stands says whether a byte may be as it is in an address.
func stands(s string, k int, whole bool) bool {
	switch c := s[k]; {
	case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', strings.IndexByte("-._~", c) >= 0:
		return true
	case c == '%':
		return whole && k+2 < len(s) && isHex(s[k+1]) && isHex(s[k+2])
	default:
		return whole && strings.IndexByte("!#$&*+,/:;=?@[]", c) >= 0
	}
}

func isHex(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F'
}
