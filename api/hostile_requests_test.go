package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/attach"
)

// maker makes requests nobody should send: from the document with some of it wrong,
// from the forms of the pages, and from nothing.
type maker struct {
	document   *huma.OpenAPI
	operations []*huma.Operation
	pages      [][2]string         // method and address as declared
	fields     []string            // of all forms
	jobs       []string            // jobs that there are
	names      []string            // names of things that there are, and of some that are not
	kinds      map[string][]string // names of things that there are, by what addresses call them
	files      map[string]string
	pictures   []string

	careful bool   // this request is to be as it should
	own     string // the job of who sends it
}

// newMaker knows everything that there is to be asked.
func newMaker(t *testing.T, s *site, jobs []string, files map[string]string) *maker {
	m := &maker{document: s.server.api.OpenAPI(), jobs: jobs, files: files, names: slices.Clone(known)}
	m.operations = everyOperation(m.document)
	m.kinds = map[string][]string{
		"step": {"frame", "tape", "clad", "strike", "opening-n1.set", "openings.set", "windows.delivery"}, "hold": {"frame-seen", "windows-seen", "sill-height", "sizes-frozen"},
		"trade": {"framing", "cladding", "windows"}, "order": {"windows"}, "due": {"closed-in", "new"}, "letter": {"A", "B"}, "revision": {"1", "2", "3"},
		"person": {"kim", "bo", "inspector"}, "place": {"house"},
	}
	for _, r := range s.server.echo.Routes() {
		if !strings.HasPrefix(r.Path, prefix+"/") && slices.Contains(methods, r.Method) {
			m.pages = append(m.pages, [2]string{r.Method, r.Path})
		}
	}
	slices.SortFunc(m.pages, func(a, b [2]string) int { return strings.Compare(a[1]+a[0], b[1]+b[0]) })
	for _, name := range []string{"../web/templates", "signin"} {
		entries, err := os.ReadDir(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !strings.HasSuffix(e.Name(), ".html") {
				continue
			}
			text, err := os.ReadFile(name + "/" + e.Name())
			if err != nil {
				t.Fatal(err)
			}
			for _, found := range regexp.MustCompile(`<(?:input|select|textarea|button)[^>]* name="([^"{}]+)"`).FindAllSubmatch(text, -1) {
				m.fields = append(m.fields, string(found[1]))
			}
		}
	}
	m.fields = append(m.fields, "day", "time", "started", "started-time", "done", "done-time", "by", "next")
	slices.Sort(m.fields)
	m.fields = slices.Compact(m.fields)
	m.pictures = []string{drawing(t), "%PDF-1.4\n", "\xff\xd8\xff\xe0", "<script>alert(1)</script>", "RIFF0000WEBPVP8 0000"}
	return m
}

func one[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// odd is true once in n times, and never in a request that is to be as it should.
func (m *maker) odd(r *rand.Rand, n int) bool { return chance(r, n) && !m.careful }

// chance is true once in n times.
func chance(r *rand.Rand, n int) bool { return r.IntN(n) == 0 }

// oddTexts are texts that programs stumble over.
var oddTexts = []string{
	"", " ", "\x00", "a\x00b", "\xff\xfe", "\xc3\x28", "\xed\xa0\x80", "\u202egnp.exe", "\ufeff", "\u0000", "𝔘𝔫𝔦𝔠𝔬𝔡𝔢 💥👷🏽‍♀️", "ẞ", "İ", "ﷺ",
	"'; DROP TABLE job; --", "$1", "%s%n%d", "{{.}}", "${7*7}", "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "javascript:alert(1)",
	"../../../../etc/passwd", "..%2f..%2fetc", "//other.example/", "http://169.254.169.254/", "\r\nX-Evil: 1", "\n\n", "\t", "null", "undefined", "NaN", "true", "-0",
	"1e999", "99999999999999999999999999", "0x1F", "١٢", "2026-02-30", "9999-12-31", "0000-00-00", "-0001-01-01", "2026-04-10T00:00:00Z", "2026-04-10 25:61",
	"1 day", "100000 weeks", "999999 elapsed weeks", "-1 days", "1  day", "start", "garden-studio", "owner", strings.Repeat("x", 300), strings.Repeat("ä", 5000), strings.Repeat("a.", 400),
}

// request is one request without its session. Half of them are to be as they should.
func (m *maker) request(r *rand.Rand, own string) *http.Request {
	m.careful, m.own = chance(r, 2), own
	var q *http.Request
	switch n := r.IntN(100); {
	case n < 60, m.careful && n < 75:
		q = m.fromDocument(r)
	case n < 86, m.careful:
		q = m.fromPages(r)
	default:
		q = m.fromNothing(r)
	}
	if !m.careful {
		m.oddHeaders(r, q)
	}
	return q
}

// newRequest does not mind what httptest.NewRequest panics about.
func newRequest(method, path, query, body string) *http.Request {
	q := httptest.NewRequest(http.MethodGet, "/", strings.NewReader(body))
	q.Method = method
	q.URL = &url.URL{Path: path, RawQuery: query}
	q.RequestURI = q.URL.RequestURI()
	return q
}

func (m *maker) fromDocument(r *rand.Rand) *http.Request {
	op := one(r, m.operations...)
	path, query := m.fill(r, prefix+op.Path, op.Parameters)
	method := op.Method
	if m.odd(r, 40) {
		method = one(r, "GET", "POST", "PUT", "PATCH", "DELETE", "HEAD", "OPTIONS", "TRACE", "CONNECT", "BREW", "get")
	}
	body, kind := "", ""
	if op.RequestBody != nil && !m.odd(r, 30) {
		body, kind = m.body(r, op, path)
	} else if m.odd(r, 15) {
		body, kind = one(r, oddTexts...), "application/json"
	}
	q := newRequest(method, path, query, body)
	if kind != "" {
		q.Header.Set("Content-Type", kind)
	}
	return q
}

// fill puts names into an address and its parameters.
func (m *maker) fill(r *rand.Rand, path string, parameters []*huma.Param) (filled, query string) {
	values := url.Values{}
	for _, p := range parameters {
		switch p.In {
		case "path":
			path = strings.ReplaceAll(path, "{"+p.Name+"}", m.name(r, p.Name))
		case "query":
			if p.Required && !m.odd(r, 10) || chance(r, 3) {
				values.Set(p.Name, fmt.Sprint(m.value(r, p.Schema, p.Name, 0)))
			}
		}
	}
	if m.odd(r, 12) {
		values.Add(one(r, "as_of", "as-of", "limit", "x", "secret", "revision", "\x00"), one(r, oddTexts...))
	}
	query = values.Encode()
	if m.odd(r, 60) {
		query += one(r, "&%zz", "&&&=", ";a=b", "&a[]=1", strings.Repeat("&a=1", 2000))
	}
	return path, query
}

// name is what stands in an address: mostly something that there is.
func (m *maker) name(r *rand.Rand, of string) string {
	switch {
	case m.odd(r, 12):
		return one(r, oddTexts...)
	case of == "job" && m.careful && m.own != "" && !chance(r, 6):
		return m.own
	case of == "job":
		return one(r, m.jobs...)
	case m.kinds[of] != nil && !m.odd(r, 4):
		return one(r, m.kinds[of]...)
	}
	return one(r, m.names...)
}

// body is one that mostly fits the operation, and how it is sent.
func (m *maker) body(r *rand.Rand, op *huma.Operation, path string) (body, kind string) {
	content := op.RequestBody.Content["application/json"]
	switch {
	case content != nil:
		raw, err := json.Marshal(m.value(r, content.Schema, "", 0))
		if err != nil {
			raw = []byte("{}")
		}
		body, kind = string(raw), "application/json"
	case op.RequestBody.Content[yamlType] != nil:
		body, kind = m.file(r, path), yamlType
	default:
		body, kind = one(r, m.pictures...), "application/octet-stream"
	}
	if m.odd(r, 6) {
		body = m.spoil(r, body)
	}
	if m.odd(r, 12) {
		kind = one(r, "", "/", "text/plain", "text/html", "application/json; charset=utf-16", "multipart/form-data", "multipart/form-data; boundary=\x01",
			"application/x-www-form-urlencoded", yamlType, "application/json, text/html", "application/problem+json", "image/png", strings.Repeat("a", 500))
	}
	return body, kind
}

// value is mostly one that a schema allows, and now and then any other.
func (m *maker) value(r *rand.Rand, schema *huma.Schema, name string, depth int) any {
	if schema == nil {
		return nil
	}
	if schema.Ref != "" {
		schema = m.document.Components.Schemas.SchemaFromRef(schema.Ref)
	}
	if m.odd(r, 16) || depth > 8 {
		return one[any](r, nil, "", 7, -1, 1.5, 1e308, -1e308, json.Number("1e400"), json.Number("123456789012345678901234567890"), true, []any{}, map[string]any{},
			[]any{[]any{[]any{nil}}}, map[string]any{"": nil, "\x00": "x"}, one(r, oddTexts...))
	}
	switch {
	case len(schema.Enum) > 0:
		return one(r, schema.Enum...)
	case schema.Format == "date":
		return one(r, m.unless("2026-04-10", "2026-04-13", "2026-06-29", "2031-01-01", "1999-12-31", "2026-02-30", "0001-01-01", "9999-12-31")...)
	case schema.Pattern == whenPattern:
		return one(r, m.unless("2026-04-10", "2026-04-13", "2026-04-13 07:30", "2026-04-01 24:00", "2026-03-29 02:30", "2026-13-01", "0001-01-01", "9999-12-31")...)
	case schema.Pattern == spanPattern:
		return one(r, m.unless("1 day", "3 hours", "2 elapsed days", "0 minutes", "100000 weeks", "007 days")...)
	case schema.Type == huma.TypeString:
		switch {
		case m.odd(r, 4):
			return one(r, oddTexts...)
		case name == "by":
			return one(r, m.kinds["person"]...)
		case name == "from" || name == "to":
			return one(r, m.kinds["step"]...)
		case m.kinds[name] != nil:
			return one(r, m.kinds[name]...)
		case m.careful:
			return one(r, "closer look", "as agreed", "on site")
		}
		return one(r, m.names...)
	case schema.Type == huma.TypeInteger, schema.Type == huma.TypeNumber:
		if m.careful {
			return one(r, 1, 2, 3, 900)
		}
		return one[any](r, 1, 2, 900, 1000, 0, -5, 1<<40, int64(-1<<63), json.Number("9223372036854775808"))
	case schema.Type == huma.TypeBoolean:
		return chance(r, 2)
	case schema.Type == huma.TypeArray:
		list := []any{}
		for range one(r, m.unlessFew(0, 1, 1, 2, 3, 3, 50)...) {
			list = append(list, m.value(r, schema.Items, name, depth+1))
		}
		return list
	}
	object := map[string]any{}
	for _, key := range sortedKeys(schema.Properties) {
		there := !chance(r, 4)
		if m.careful {
			there = slices.Contains(schema.Required, key) || chance(r, 3)
		}
		if there {
			object[key] = m.value(r, schema.Properties[key], key, depth+1)
		}
	}
	if m.odd(r, 15) {
		object[one(r, oddTexts...)] = one(r, oddTexts...)
	}
	return object
}

// unless leaves the odd ones at the end out where the request is to be as it should.
func (m *maker) unless(texts ...string) []string {
	if m.careful {
		return texts[:2]
	}
	return texts
}

func (m *maker) unlessFew(counts ...int) []int {
	if m.careful {
		return counts[:3]
	}
	return counts
}

// spoil breaks a body.
func (m *maker) spoil(r *rand.Rand, body string) string {
	b := []byte(body)
	at := r.IntN(len(b) + 1)
	switch r.IntN(11) {
	case 0:
		return string(b[:at])
	case 1:
		return body + one(r, "}", "]", ",", "{}", "\x00", "garbage")
	case 2:
		return string(b[:at]) + one(r, oddTexts...) + string(b[at:])
	case 3:
		for range 1 + r.IntN(5) {
			if len(b) > 0 {
				b[r.IntN(len(b))] = byte(r.IntN(256))
			}
		}
		return string(b)
	case 4:
		return strings.Repeat(one(r, "[", `{"a":`, "- ", "? ", "{"), 10+r.IntN(20_000))
	case 5:
		return "[" + body + "]"
	case 6:
		return "\ufeff" + body
	case 7:
		return `{"a":1,"a":2,"by":"kim","by":"bo",` + strings.TrimPrefix(body, "{")
	case 8:
		return strings.Replace(body, `"`, `"\ud800`, 1)
	case 9:
		return strings.Repeat("x", one(r, 1, 1000, maxBody-1, maxBody+1))
	}
	return string(slices.Concat(b, b))
}

// file is a job file, mostly with something wrong in it.
func (m *maker) file(r *rand.Rand, path string) string {
	text := m.files[one(r, m.jobs...)]
	for job, file := range m.files {
		if m.careful && strings.Contains(path, "/"+job+"/") {
			return strings.Replace(file, "crews: 1", fmt.Sprint("crews: ", 1+r.IntN(9)), 1)
		}
	}
	lines := strings.Split(text, "\n")
	for range r.IntN(4) {
		if len(lines) < 2 {
			break
		}
		at, other := r.IntN(len(lines)), r.IntN(len(lines))
		switch r.IntN(6) {
		case 0:
			lines = slices.Delete(lines, at, at+1)
		case 1:
			lines[at], lines[other] = lines[other], lines[at]
		case 2:
			lines = slices.Insert(lines, at, lines[other])
		case 3:
			if key, _, ok := strings.Cut(lines[at], ": "); ok {
				lines[at] = key + ": " + one(r, oddTexts...)
			}
		case 4:
			lines[at] += one(r, " &a [*a, *a]", " !!binary x", " <<: *x", " |", " [[[[[[[[[[[[[[[[[[[[[[[[[[[", " # \x00")
		case 5:
			lines[at] = " " + lines[at]
		}
	}
	return strings.Join(lines, "\n")
}

// fromPages is a page asked for, or a form of one sent.
func (m *maker) fromPages(r *rand.Rand) *http.Request {
	page := one(r, m.pages...)
	path := regexp.MustCompile(`:[a-z]+|\*`).ReplaceAllStringFunc(page[1], func(of string) string { return m.name(r, strings.TrimPrefix(of, ":")) })
	form := url.Values{}
	for range r.IntN(8) {
		form.Add(one(r, m.fields...), one(r, one(r, m.names...), one(r, oddTexts...), "2026-04-13", "07:30", "3 days", "garden-studio"))
	}
	if m.careful {
		form = m.form(r)
	}
	query := ""
	if m.odd(r, 6) {
		query = url.Values{one(r, "as-of", "week", "from", "next", "secret", "said", "was", "moved", "at"): {one(r, append(oddTexts, "2026-04-13")...)}}.Encode()
	}
	q := newRequest(page[0], path, query, "")
	if page[0] == http.MethodGet {
		return q
	}
	body, kind := form.Encode(), "application/x-www-form-urlencoded"
	if strings.HasSuffix(page[1], "/attach") || m.odd(r, 12) {
		body, kind = m.parts(r)
	}
	if m.odd(r, 10) {
		body = m.spoil(r, body)
	}
	q = newRequest(page[0], path, query, body)
	q.Header.Set("Content-Type", kind)
	return q
}

// form is fields as they might be filled in.
func (m *maker) form(r *rand.Rand) url.Values {
	day := one(r, "2026-04-10", "2026-04-13")
	return url.Values{
		"day": {day}, "started": {day}, "by": {one(r, m.kinds["person"]...)}, "note": {"as agreed"}, "reason": {"as agreed"}, "measured": {"900"},
		"remaining": {one(r, "", "1 day")}, "revision": {one(r, m.kinds["revision"]...)}, "as-of": {day}, "alert": {"loose end: paint-inside"},
		"name": {"Kim Example"}, "email": {one(r, "kim@site.example", "bo@site.example")}, "role": {one(r, "owner", "reader", "site lead")},
		"trade": {one(r, m.kinds["trade"]...)}, "label": {"the foreman"}, "from": {day}, "until": {day}, "to": {day}, "step": {one(r, m.kinds["step"]...)},
	}
}

// parts is a form in parts with a file.
func (m *maker) parts(r *rand.Rand) (body, kind string) {
	var b strings.Builder
	for range 1 + r.IntN(3) {
		fmt.Fprintf(&b, "--rod\r\nContent-Disposition: form-data; name=%q; filename=%q\r\nContent-Type: %s\r\n\r\n%s\r\n",
			one(r, "file", "file", one(r, m.fields...)), one(r, "sill.png", one(r, oddTexts...)), one(r, attach.PNG, "text/html", ""), one(r, m.pictures...))
	}
	if !chance(r, 6) {
		b.WriteString("--rod--\r\n")
	}
	return b.String(), "multipart/form-data; boundary=" + one(r, "rod", "rod", "rod", "other", "")
}

// fromNothing is a request that has nothing to do with this service.
func (m *maker) fromNothing(r *rand.Rand) *http.Request {
	var path strings.Builder
	for range r.IntN(6) {
		path.WriteString("/" + one(r, "api", "jobs", "steps", "plan", "static", "mine", "calendar", "sign-in", "visit", "events", "..", ".", "", "accounts", one(r, m.jobs...), one(r, oddTexts...)))
	}
	if path.Len() == 0 {
		path.WriteString(one(r, "/", "/api", "/api/", "//", "/static/", "/static/../db", "/.git/config", "/api/openapi.json/x", "/calendar/x.ics"))
	}
	body := make([]byte, r.IntN(200))
	for k := range body {
		body[k] = byte(r.IntN(256))
	}
	q := newRequest(one(r, "GET", "POST", "PUT", "PATCH", "DELETE", "HEAD", "OPTIONS", "TRACE", "X"), path.String(), "", string(body))
	q.Header.Set("Content-Type", one(r, "application/json", "application/x-www-form-urlencoded", "", "multipart/form-data; boundary=x"))
	return q
}

// oddHeaders gives a request headers that mean something, with and without sense.
func (m *maker) oddHeaders(r *rand.Rand, q *http.Request) {
	odd := func(n int, name string, values ...string) {
		if chance(r, n) {
			q.Header.Set(name, one(r, values...))
		}
	}
	odd(8, "If-Match", "*", `"1"`, `"2-2026-04-13"`, `W/"3"`, `"99999999999999999999"`, `"-1"`, "x", "\x00", `"1", "2"`, strings.Repeat(`"1",`, 500))
	odd(8, "If-None-Match", "*", `"1"`, `"1-2026-04-13"`, "x", strings.Repeat("x", 3000))
	odd(8, keyHeader, "a", "b", fmt.Sprint(r.IntN(20)), strings.Repeat("k", 5000), "\xff", "ключ", " ")
	odd(10, "Last-Event-ID", "0", "1", "-1", "99999999999999999999", "x", "\x00", "1-2")
	odd(10, "Accept", "text/html", "application/xml", "*/*;q=0", "application/json;q=x", ";;;", "text/event-stream", strings.Repeat("a/b,", 500))
	odd(20, "Accept-Encoding", "gzip", "br", "*;q=0", "x")
	odd(30, "Content-Encoding", "gzip", "br", "identity", "x")
	odd(30, "Range", "bytes=0-1", "bytes=-1", "bytes=9-1", "x")
	odd(30, "X-Http-Method-Override", "DELETE", "PUT")
	odd(30, "X-Forwarded-For", "127.0.0.1", "x", "203.0.113.7, 127.0.0.1")
	odd(30, "X-Forwarded-Proto", "https", "x")
	odd(30, "Traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01", "x")
	odd(30, "Cookie", "gaugerod-session=x", "gaugerod-session=\x00", "a=b; gaugerod-link=x", strings.Repeat("a=b; ", 500))
	odd(25, "Sec-Fetch-Site", "cross-site", "same-site", "none", "same-origin", "x")
	odd(40, "Origin", "https://evil.example", "null", "x")
	odd(40, "Expect", "100-continue", "x")
	odd(40, "User-Agent", "", "\xff\xfe", strings.Repeat("phone", 1000))
	if chance(r, 25) {
		q.ContentLength = -1 // in pieces
	}
	if chance(r, 60) {
		q.Host = one(r, "", "evil.example", "a b", "[::1", strings.Repeat("a", 300))
	}
	if chance(r, 60) {
		q.RemoteAddr = one(r, "", "x", "@", "[fe80::1%lo]:1", "203.0.113.7:99")
	}
	if chance(r, 150) {
		q.Body = io.NopCloser(io.MultiReader(bytes.NewReader([]byte(`{"a`)), broken{}))
		q.ContentLength = -1
	}
}
