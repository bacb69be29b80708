package web

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"gaugerod/api/attach"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// drawer is a store of attachments in memory.
type drawer struct {
	all     []db.Attachment
	content map[uuid.UUID][]byte
	full    bool
}

func (d *drawer) Attach(_ context.Context, _ scheduler.ID, a db.Attachment, content []byte, _ db.Shelf) (db.Attachment, error) {
	if d.full {
		return a, db.ErrShelfFull
	}
	a.ID, a.Size, a.At = uuid.New(), int64(len(content)), readAt
	d.all, d.content[a.ID] = append(d.all, a), content
	return a, nil
}

func (d *drawer) Attachments(_ context.Context, _, step scheduler.ID) (of []db.Attachment, err error) {
	for _, a := range d.all {
		if a.Step == step {
			of = append(of, a)
		}
	}
	return of, nil
}

func (d *drawer) Attachment(_ context.Context, _ scheduler.ID, id uuid.UUID) (db.Attachment, []byte, error) {
	for _, a := range d.all {
		if a.ID == id && a.RemovedAt == nil {
			return a, d.content[id], nil
		}
	}
	return db.Attachment{}, nil, scheduler.ErrNotFound
}

func (d *drawer) RemoveAttachment(_ context.Context, _ scheduler.ID, id uuid.UUID, by db.Author, may func(db.Attachment) error) error {
	for k, a := range d.all {
		if a.ID == id {
			if err := may(a); err != nil {
				return err
			}
			d.all[k].RemovedAt, d.all[k].RemovedBy = &readAt, by.Name
		}
	}
	return nil
}

// withBox lets things be attached to the steps of a site.
func (s *site) withBox() *drawer {
	d := &drawer{content: map[uuid.UUID][]byte{}}
	s.pages.box = attach.New(d, func() time.Time { return readAt })
	return d
}

// as is a request by somebody.
func as(v signin.Visitor, r *http.Request) *http.Request {
	return r.WithContext(signin.With(r.Context(), v))
}

// form is a form in parts with a file in it.
func formWith(t *testing.T, path, field, name string, content []byte) *http.Request {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	part, err := w.CreateFormFile(field, name)
	if err != nil {
		t.Fatal(err)
	}
	part.Write(content)
	w.Close()
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

var (
	foreman  = signin.Visitor{Name: "Kim", Account: uuid.New(), Session: uuid.New(), Role: scheduler.SiteLead}
	mate     = signin.Visitor{Name: "Bo", Account: uuid.New(), Session: uuid.New(), Role: scheduler.SiteLead}
	onlooker = signin.Visitor{Name: "Lo", Account: uuid.New(), Session: uuid.New(), Role: scheduler.Reader}
)

func TestAttachingOnAStepsPage(t *testing.T) {
	s := newSite(t, garden)
	d := s.withBox()
	const step = "/jobs/garden-studio/steps/clad"
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 2, 2))); err != nil {
		t.Fatal(err)
	}
	page := func(v signin.Visitor) string {
		t.Helper()
		w, doc := s.ask(as(v, httptest.NewRequest(http.MethodGet, step, nil)))
		sound(t, step, doc, w.Body.String())
		return text(find(doc, "#attached")[0])
	}
	if got := page(foreman); !strings.Contains(got, "Nothing is attached") || !strings.Contains(got, "Attach a file") {
		t.Errorf("%s", got)
	}
	if got := page(onlooker); strings.Contains(got, "Attach a file") {
		t.Errorf("a reader is let: %s", got)
	}
	w, _ := s.ask(as(foreman, formWith(t, step+"/attach", "file", `C:\photos\sill "N3".html`, picture.Bytes())))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != step+"#attached" {
		t.Fatalf("%d to %q: %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	if got := page(foreman); !strings.Contains(got, "sill -N3-.html.png") || !strings.Contains(got, "Kim") || !strings.Contains(got, "Take away") {
		t.Errorf("%s", got)
	}
	if got := page(mate); strings.Contains(got, "Take away") {
		t.Errorf("another is let take it away: %s", got)
	}
	if got := page(owner); !strings.Contains(got, "Take away") {
		t.Errorf("the owner is not let: %s", got)
	}
	file := "/jobs/garden-studio/attachments/" + d.all[0].ID.String()
	w = httptest.NewRecorder()
	s.echo.ServeHTTP(w, as(onlooker, httptest.NewRequest(http.MethodGet, file, nil)))
	if w.Code != http.StatusOK || !bytes.Equal(w.Body.Bytes(), picture.Bytes()) || !strings.HasPrefix(w.Header().Get("Content-Disposition"), "attachment;") ||
		w.Header().Get("Content-Security-Policy") != attach.Policy || w.Header().Get("Content-Type") != attach.PNG {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if w, _ := s.ask(as(foreman, httptest.NewRequest(http.MethodPost, file+"/remove", nil))); w.Code != http.StatusSeeOther || w.Header().Get("Location") != step+"#attached" {
		t.Errorf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	if got := page(owner); !strings.Contains(got, "taken away by Kim") || strings.Contains(got, "Take away") {
		t.Errorf("%s", got)
	}
	for _, path := range []string{file, "/jobs/garden-studio/attachments/x"} {
		if w, _ := s.get(path); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// TestAttachingWhatCannotBe comes back with the reason in the form.
func TestAttachingWhatCannotBe(t *testing.T) {
	s := newSite(t, garden)
	d := s.withBox()
	const at = "/jobs/garden-studio/steps/clad/attach"
	cut := formWith(t, at, "file", "a.pdf", []byte("%PDF-1.7\n"+strings.Repeat("x", 100)))
	var short bytes.Buffer
	short.ReadFrom(cut.Body)
	short.Truncate(short.Len() - 70)
	broken := httptest.NewRequest(http.MethodPost, at, &short)
	broken.Header = cut.Header
	plain := httptest.NewRequest(http.MethodPost, at, strings.NewReader("file=x"))
	plain.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for word, r := range map[string]*http.Request{
		"Only photographs":  formWith(t, at, "file", "a.png", []byte("<script>alert(1)</script>")),
		"The file is empty": formWith(t, at, "file", "a.png", nil),
		"10 MiB":            formWith(t, at, "file", "a.pdf", append([]byte("%PDF-1.7"), make([]byte, attach.MostBytes)...)),
		"did not arrive":    broken,
		"Choose a file.":    formWith(t, at, "other", "a.png", []byte("x")),
		"Choose a file. ":   plain,
	} {
		w, doc := s.ask(as(foreman, r))
		if got := text(find(doc, "#attach .problem")[0]); w.Code != http.StatusUnprocessableEntity || !strings.Contains(got, strings.TrimSpace(word)) {
			t.Errorf("%d %q, want %q", w.Code, got, word)
		}
	}
	d.full = true
	if w, _ := s.ask(as(foreman, formWith(t, at, "file", "a.pdf", []byte("%PDF-1.7\n")))); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "No more can be attached") {
		t.Errorf("%d", w.Code)
	}
	if len(d.all) != 0 {
		t.Errorf("%d were kept", len(d.all))
	}
	s.pages.box = nil
	for _, r := range []*http.Request{formWith(t, at, "file", "a.pdf", []byte("%PDF-1.7\n")), httptest.NewRequest(http.MethodGet, "/jobs/garden-studio/attachments/x", nil), httptest.NewRequest(http.MethodPost, "/jobs/garden-studio/attachments/x/remove", nil)} {
		if w, _ := s.ask(as(foreman, r)); w.Code != http.StatusNotFound {
			t.Errorf("%s, where nothing can be attached: %d", r.URL, w.Code)
		}
	}
}
