package fill_test

import (
	"bytes"
	"html/template"
	"strings"
	"testing"

	"gaugerod/web/fill"
)

// sheet is what the templates of these tests are filled with.
type sheet struct {
	Head
	Title, Href, Empty string
	Kind               kind
	Day                day
	Count              int
	Long               int64
	Yes                bool
	Markup             template.HTML
	Rows               []row
	None               []row
	Names              []string
	At                 *row
	Missing            *row
}

type (
	Head struct{ Brand string } // embedded, as every page embeds its frame
	kind string
	day  int
	row  struct {
		Name string
		Good bool
		Of   []string
	}
)

func (d day) String() string { return "<day>" }

func (r row) Says(word string) string   { return word + " " + r.Name }
func (r *row) Is(a string, b kind) bool { return r.Name == a && b != "" }
func (r row) Bad() bool                 { return !r.Good }
func loud(s string) string              { return strings.ToUpper(s) }
func both(r row, n int) row             { r.Name += strings.Repeat("!", n); return r }
func mark(n int64) template.HTML        { return template.HTML("<i>") + template.HTML(rune('0'+n)) }

func functions() template.FuncMap { return template.FuncMap{"loud": loud, "both": both, "mark": mark} }

func parsed(text string) (*template.Template, error) {
	return template.New("page").Funcs(functions()).Parse(text)
}

// hostile is what somebody might call a thing to have a page run something.
var hostile = []string{
	"", "plain", `"><script>alert(1)</script>`, `' onmouseover='x`, "javascript:alert(1)", "JaVaScRiPt:x", "java\tscript:x", " javascript:x", "data:text/html,<b>",
	"https://site.example/a?b=c&d=e#f", "mailto:ann@people.example", "/jobs/a:b", "a/b:c", "50% off", "%41%zz%", "a+b", "ünïcode €", "nul\x00", "bad\xff", "&amp;", "</title><script>", "`${x}`", "{{.}}", "<!--", "-->",
}

var templates = map[string]string{
	"text":       `<p>{{.Title}} {{.Kind}} {{.Day}} {{.Count}} {{.Long}}</p>`,
	"title":      `<title>{{.Title}} · {{.Kind}}</title>`,
	"attribute":  `<p class="{{.Title}} a{{.Count}}" data-key='{{.Kind}}'></p>`,
	"address":    `<a href="{{.Href}}">x</a><form action='{{.Href}}'></form><img src="{{.Href}}">`,
	"in address": `<a href="/jobs/{{.Title}}/x">x</a><a href="/x?a={{.Title}}&b={{.Count}}#{{.Kind}}">y</a>`,
	"data":       `<body data-home="{{.Href}}" data-events="{{.Href}}" data-src="{{.Href}}">`,
	"markup":     `<div>{{.Markup}}{{mark .Long}}</div>`,
	"if":         `{{if .Title}}a{{else if .Yes}}b{{else}}c{{end}}{{if .Empty}}d{{end}}{{if not .Yes}}e{{end}}{{if or .Empty .Missing .Rows}}f{{end}}{{if and .Yes .Title}}g{{end}}{{if .At}}h{{end}}{{if .Long}}i{{end}}`,
	"compare":    `{{if eq .Kind "grave"}}a{{end}}{{if ne .Title "plain"}}b{{end}}{{if gt (len .Rows) 1}}c{{end}}{{if le .Count 3}}d{{end}}{{if or (lt .Count 2) (ge .Count 9) (eq .Count 3)}}e{{end}}`,
	"with":       `{{with .Title}}<b>{{.}}</b>{{$.Kind}}{{else}}none{{end}}{{with .Missing}}{{.Name}}{{else}}no {{.Title}}{{end}}`,
	"range":      `{{range .Rows}}{{.Name}},{{range .Of}}{{.}}{{$.Title}}{{end}}{{end}}{{range .None}}x{{else}}none{{end}}{{range $k, $r := .Rows}}{{if $k}}, {{end}}{{$k}}{{$r.Name}}{{end}}{{range $r := .Rows}}{{$r.Name}}{{end}}`,
	"variable":   `{{$t := .Title}}{{range .Rows}}{{$t := .Name}}{{$t}}{{end}}{{$t}}{{$at := .At}}{{$at.Name}}`,
	"method":     `{{range .Rows}}{{.Says "w"}}{{if .Is "r" $.Kind}}is{{end}}{{if .Bad}}bad{{end}}{{end}}{{.At.Says .Title}}`,
	"function":   `{{loud .Title}}{{with both .At 2}}{{.Name}}{{end}}{{len .Rows}}`,
	"inner":      `{{define "row"}}<li class="{{.Name}}">{{.Name}}{{template "names" .Of}}{{$.Name}}</li>{{end}}{{define "names"}}{{range .}}<i>{{.}}</i>{{end}}{{end}}{{range .Rows}}{{template "row" .}}{{end}}{{template "names" .Names}}{{template "row" .At}}`,
	"embedded":   `{{.Brand}}{{.Head.Brand}}`,
}

// TestFillsAsTheTemplatesDoThemselves holds every template, filled with whatever may
// stand in it, against what html/template makes of it.
func TestFillsAsTheTemplatesDoThemselves(t *testing.T) {
	for name, text := range templates {
		tmpl, err := parsed(text)
		if err != nil {
			t.Fatal(err)
		}
		quick, err := fill.New(tmpl, "page", &sheet{}, functions())
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for k, word := range hostile {
			s := &sheet{
				Head: Head{word}, Title: word, Href: word, Kind: kind(word), Count: k, Long: int64(k % 10), Yes: k%2 == 0, Markup: "<b>bold</b>",
				Rows: []row{{Name: word, Good: true, Of: hostile}, {Name: "r"}}[:k%3], Names: hostile, At: &row{Name: word, Of: []string{word}},
			}
			if k == 3 {
				s.Kind = "grave"
			}
			var want bytes.Buffer
			if err := tmpl.ExecuteTemplate(&want, "page", s); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			got, err := quick.Append([]byte("before:"), s)
			if err != nil || string(got) != "before:"+want.String() {
				t.Errorf("%s with %q: %v\n%s\nnot\n%s", name, word, err, got, want.String())
			}
		}
	}
}

// TestRefusesWhatItCannotDo: it shows when a template is made, not when it is read.
func TestRefusesWhatItCannotDo(t *testing.T) {
	for text, says := range map[string]string{
		`{{.Nothing}}`:                        "no field",
		`{{.Title.More}}`:                     "no field and no method",
		`{{.Title | loud}}`:                   "ways",
		`<script>var x = {{.Title}}</script>`: "ways",
		`<p style="color: {{.Title}}">`:       "ways",
		`<p title={{.Title}}>`:                "ways",
		`<p title="{{.Markup}}">`:             "ways",
		`{{.Rows}}`:                           "is written",
		`{{range .Title}}{{end}}`:             "no slice",
		`{{$x := 1}}{{$x = 2}}`:               "changes",
		`{{define "a"}}{{template "a" .}}{{end}}{{template "a" .}}`: "too deep",
		`{{or .Title .Kind}}`:             "no function or",
		`{{if eq .Rows .Rows}}{{end}}`:    "eq of",
		`{{with $x := .At}}{{end}}`:       "more than a value",
		`{{(both .At 1).Name}}`:           "ChainNode",
		`{{range .Rows}}{{break}}{{end}}`: "BreakNode",
		`{{template "page"}}`:             "",
	} {
		tmpl, err := parsed(text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := fill.New(tmpl, "page", &sheet{}, functions()); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, which does not say %q", text, err, says)
		}
	}
}

func TestWhatCannotBeEscapedIsRefused(t *testing.T) {
	tmpl, err := parsed(`<a href="{{if .Yes}}"{{end}}>`)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fill.New(tmpl, "page", &sheet{}, functions()); err == nil {
		t.Error("a template that ends in two ways was made")
	}
}

func TestFieldOfNothingIsAnError(t *testing.T) {
	tmpl, err := parsed(`a{{.Missing.Name}}b`)
	if err != nil {
		t.Fatal(err)
	}
	quick, err := fill.New(tmpl, "page", &sheet{}, functions())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := quick.Append(nil, &sheet{}); err == nil {
		t.Error("the name of nothing was written")
	}
	for _, other := range []any{nil, sheet{}, &row{}, (*sheet)(nil)} {
		if _, err := quick.Append(nil, other); err == nil {
			t.Errorf("a template for a sheet was filled with %T", other)
		}
	}
}
