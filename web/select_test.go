package web

import (
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// find is the elements of a document that a selector names: words joined by
// blanks, each a tag, a .class, an #id, a [attribute] or several of them at once.
func find(n *html.Node, selector string) []*html.Node {
	found := []*html.Node{n}
	for word := range strings.FieldsSeq(selector) {
		var next []*html.Node
		seen := map[*html.Node]bool{}
		for _, f := range found {
			for d := range f.Descendants() {
				if d.Type == html.ElementNode && matches(d, word) && !seen[d] {
					seen[d] = true
					next = append(next, d)
				}
			}
		}
		found = next
	}
	return found
}

// matches holds one element against one word of a selector.
func matches(n *html.Node, word string) bool {
	for word != "" {
		end := len(word)
		if word[0] == '[' {
			end = strings.IndexByte(word, ']') + 1
		} else if k := strings.IndexAny(word[1:], ".#["); k >= 0 {
			end = k + 1
		}
		part := word[:end]
		word = word[end:]
		switch part[0] {
		case '.':
			if !slices.Contains(strings.Fields(attr(n, "class")), part[1:]) {
				return false
			}
		case '#':
			if attr(n, "id") != part[1:] {
				return false
			}
		case '[':
			name, value, given := strings.Cut(strings.Trim(part, "[]"), "=")
			if !has(n, name) || given && attr(n, name) != value {
				return false
			}
		default:
			if n.Data != part {
				return false
			}
		}
	}
	return true
}

func has(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// text is the words of a node, with single blanks.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// says is the words of the first element that a selector names, empty for none.
func says(n *html.Node, selector string) string {
	if found := find(n, selector); len(found) > 0 {
		return text(found[0])
	}
	return ""
}
