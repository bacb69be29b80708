package web

import (
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestOptionsAreNothingButWords chooses from lists whose entries try to be more.
func TestOptionsAreNothingButWords(t *testing.T) {
	entries := []choice{{`"><script>alert(1)</script>`, `</option></select><script>`}, {"javascript:x", "A & B <b>"}, {"plain", "Plain"}}
	list := newChoices(entries)
	for _, chosen := range []string{"", "plain", entries[0].Value, "nobody's"} {
		doc, err := html.Parse(strings.NewReader(`<select>` + string(options(list, chosen)) + `</select>`))
		if err != nil {
			t.Fatal(err)
		}
		found := find(doc, "option")
		if len(found) != len(entries) || len(find(doc, "script")) > 0 {
			t.Fatalf("%d entries with %q chosen: %s", len(found), chosen, options(list, chosen))
		}
		for k, o := range found {
			selected := false
			for _, a := range o.Attr {
				selected = selected || a.Key == "selected"
			}
			if attr(o, "value") != entries[k].Value || o.FirstChild.Data != entries[k].Text || selected != (entries[k].Value == chosen) {
				t.Errorf("entry %d with %q chosen: %q %q, selected %v", k, chosen, attr(o, "value"), o.FirstChild.Data, selected)
			}
		}
	}
	if newChoices(nil) != nil || options(nil, "x") != "" {
		t.Error("no entries are something")
	}
}
