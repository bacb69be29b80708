package rules

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"gaugerod/scheduler"
)

// maxID and maxText are in letters; longer ones are mistakes or worse.
const (
	maxID   = 60
	maxText = 4000
)

var goodID = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checkID checks the name that a thing is given.
func (c *checker) checkID(s subject, id scheduler.ID) {
	switch {
	case id == "":
		c.fault(s, "", "", "has no name", "give it a short one: lower-case letters, digits and hyphens")
	case len(id) > maxID:
		c.fault(s, "", string(id), fmt.Sprintf("has a name of %d letters", len(id)), fmt.Sprintf("names are at most %d letters long", maxID))
	case !goodID.MatchString(string(id)):
		c.fault(s, "", string(id), "has a name that cannot be one", "use lower-case letters and digits, joined by single hyphens"+spelt(string(id)))
	}
}

// spelt proposes a name that could be one.
func spelt(id string) string {
	words := strings.FieldsFunc(strings.ToLower(id), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	if len(words) == 0 {
		return ""
	}
	return ", for instance " + strings.Join(words, "-")
}

// title checks a text that must be there, on one line.
func (c *checker) title(s subject, field, text string) {
	if strings.TrimSpace(text) == "" {
		c.fault(s, field, text, "has no "+field, "write in a few words what people call it")
		return
	}
	c.line(s, field, text)
}

// line checks a text of one line that may be left out.
func (c *checker) line(s subject, field, text string) {
	if strings.ContainsRune(text, '\n') {
		c.fault(s, field, text, "has several lines for its "+field, "write it on one line")
		return
	}
	c.text(s, field, text)
}

// text checks a text that may be left out and may have several lines.
func (c *checker) text(s subject, field, text string) {
	if !utf8.ValidString(text) {
		c.fault(s, field, "", "has something that is not UTF-8 in its "+field, "write it anew")
		return
	}
	if n := utf8.RuneCountInString(text); n > maxText {
		c.fault(s, field, "", fmt.Sprintf("has %d letters in its %s", n, field), fmt.Sprintf("keep it under %d", maxText))
		return
	}
	for _, r := range text {
		if r != '\n' && unicode.IsControl(r) {
			c.fault(s, field, text, fmt.Sprintf("has the control character %U in its %s", r, field), "leave it out")
			return
		}
	}
}
