package attach

import (
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestName is how long a file's name may be, in bytes, without its ending.
const longestName = 120

// nameOf makes a harmless name of the one that was sent: no path, nothing that
// cannot be seen or that turns writing round, and an ending that fits the kind.
func nameOf(sent, kind string) string {
	name := path.Base(strings.ReplaceAll(strings.ToValidUTF8(sent, ""), `\`, "/"))
	name = strings.Map(func(r rune) rune {
		switch {
		case r == '"', r == '*', r == ':', r == '<', r == '>', r == '?', r == '|', r == '%', r == '/':
			return '-'
		case unicode.Is(unicode.Zs, r):
			return ' '
		case !unicode.IsPrint(r):
			return -1
		}
		return r
	}, name)
	ending := endings[kind][0]
	if at := strings.LastIndexByte(name, '.'); at >= 0 {
		if own := strings.ToLower(name[at:]); slices.Contains(endings[kind], own) {
			name, ending = name[:at], own
		}
	}
	name = strings.Trim(cut(name, longestName), ". ")
	if name == "" || name == "-" {
		name = "attachment"
	}
	return name + ending
}

// cut shortens a text to so many bytes at most, without breaking a letter.
func cut(text string, most int) string {
	if len(text) <= most {
		return text
	}
	for most > 0 && !utf8.RuneStart(text[most]) {
		most--
	}
	return text[:most]
}

// disposition has a browser keep a file under its name and not show it (RFC 6266):
// the name in ASCII for old ones, and as it is (RFC 8187).
func disposition(name string) string {
	plain := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' || r == '"' || r == '\\' || r == '%' {
			return '_'
		}
		return r
	}, name)
	return fmt.Sprintf(`attachment; filename="%s"; filename*=UTF-8''%s`, plain, strings.ReplaceAll(url.QueryEscape(name), "+", "%20"))
}
