package web

import (
	"html/template"
	"strings"
)

// choice is one entry of a list to choose from.
type choice struct{ Value, Text string }

// choices is a list to choose from. A page has it in many forms, in most of which nothing
// is chosen yet: that is written once.
type choices struct {
	all   []choice
	plain template.HTML
}

// newChoices is a list of entries, nil where there are none.
func newChoices(all []choice) *choices {
	if len(all) == 0 {
		return nil
	}
	return &choices{all, written(all, "")}
}

// options is the list as the options of a form in which a value is chosen.
func options(c *choices, chosen string) template.HTML {
	switch {
	case c == nil:
		return ""
	case chosen == "":
		return c.plain
	default:
		return written(c.all, chosen)
	}
}

func written(all []choice, chosen string) template.HTML {
	var b strings.Builder
	for _, c := range all {
		b.WriteString(`<option value="`)
		b.WriteString(template.HTMLEscapeString(c.Value))
		if c.Value == chosen {
			b.WriteString(`" selected>`)
		} else {
			b.WriteString(`">`)
		}
		b.WriteString(template.HTMLEscapeString(c.Text))
		b.WriteString(`</option>`)
	}
	return template.HTML(b.String()) //nolint:gosec // every value and text is escaped
}
