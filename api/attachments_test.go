package api

import (
	"bytes"
	"image"
	"image/png"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"gaugerod/api/attach"
)

func drawing(t testing.TB) string {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const attached = garden + "/attachments"

// bring attaches a file.
func (s *site) bring(step, name, kind, content string, withs ...with) answer {
	s.t.Helper()
	at := attached + "?" + url.Values{"step": {step}, "name": {name}}.Encode()
	return s.send("POST", at, content, append([]with{header("Content-Type", kind)}, withs...)...)
}

func TestAttachments(t *testing.T) {
	s := newSite(t).withExample()
	file := drawing(t)
	got := s.bring("opening-n1.set", "../N1 sill\r\n.html", "image/jpeg", file).want(http.StatusCreated)
	a := into[AttachmentBody](got)
	if a.Type != attach.PNG || a.Name != "N1 sill.html.png" || a.Size != int64(len(file)) || a.Step != "opening-n1.set" || a.By == "" || len(a.SHA256) != 64 {
		t.Errorf("%+v", a)
	}
	if again := into[AttachmentBody](s.bring("opening-n1.set", "../N1 sill\r\n.html", attach.PNG, file).want(http.StatusCreated)); again.ID != a.ID {
		t.Error("sent again it is kept twice")
	}
	if job := into[JobBody](s.get(garden)); job.Revision != 1 {
		t.Errorf("revision %d: an attachment is no content of the job", job.Revision)
	}
	back := s.get(a.File).want(http.StatusOK)
	if string(back.body) != file {
		t.Error("it came back as another file")
	}
	for name, want := range map[string]string{
		"Content-Type": attach.PNG, "X-Content-Type-Options": "nosniff", "Content-Security-Policy": attach.Policy,
		"Content-Disposition": `attachment; filename="N1 sill.html.png"; filename*=UTF-8''N1%20sill.html.png`,
		"ETag":                `"` + a.SHA256 + `"`, "Cross-Origin-Resource-Policy": "same-origin",
	} {
		if got := back.header.Values(name); len(got) != 1 || got[0] != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	s.get(a.File, header("If-None-Match", back.header.Get("ETag"))).want(http.StatusNotModified)
	s.bring("clad", "letter.pdf", attach.PDF, "%PDF-1.7\nof the test").want(http.StatusCreated)
	if all := into[AttachmentsBody](s.get(attached)).Attachments; len(all) != 2 {
		t.Errorf("%+v", all)
	}
	if all := into[AttachmentsBody](s.get(attached + "?step=clad")).Attachments; len(all) != 1 || all[0].Name != "letter.pdf" {
		t.Errorf("%+v", all)
	}

	s.send("DELETE", a.File, "").want(http.StatusNoContent)
	s.get(a.File).problem(http.StatusNotFound, "not-found")
	s.send("DELETE", a.File, "").problem(http.StatusNotFound, "not-found")
	for _, l := range into[AttachmentsBody](s.get(attached)).Attachments {
		if (l.ID == a.ID) != (l.RemovedAt != nil && l.RemovedBy != "" && l.File == "") {
			t.Errorf("%+v", l)
		}
	}
}

func TestWhatCannotBeAttached(t *testing.T) {
	s := newSite(t).withExample()
	file := drawing(t)
	s.bring("clad", "a.png", "text/html", "<script>alert(1)</script>").problem(http.StatusUnsupportedMediaType, "file-kind", "PDF")
	s.bring("clad", "a.svg", "application/octet-stream", `<svg xmlns="http://www.w3.org/2000/svg"/>`).problem(http.StatusUnsupportedMediaType, "file-kind")
	s.bring("roof", "a.png", "application/octet-stream", file).problem(http.StatusNotFound, "not-found", "roof")
	s.bring("clad", "a.png", "application/octet-stream", "").problem(http.StatusBadRequest, "about:blank")
	s.send("POST", attached, file, header("Content-Type", "application/octet-stream")).problem(http.StatusUnprocessableEntity, "invalid", "step")
	s.send("POST", strings.Replace(attached, "garden-studio", "barn", 1)+"?step=clad", file, header("Content-Type", "application/octet-stream")).
		problem(http.StatusNotFound, "not-found")
	large := file + strings.Repeat("\x00", attach.MostBytes-len(file))
	s.bring("clad", "a.png", "application/octet-stream", large).want(http.StatusCreated)
	s.bring("clad", "b.png", "application/octet-stream", large+"\x00").problem(http.StatusRequestEntityTooLarge, "about:blank")
	s.bring("clad", "b.png", "application/octet-stream", large+"\x00", func(r *http.Request) { r.ContentLength = -1 }).
		problem(http.StatusRequestEntityTooLarge, "about:blank")
	if all := into[AttachmentsBody](s.get(attached)).Attachments; len(all) != 1 {
		t.Errorf("%d attachments", len(all))
	}
	for _, id := range []string{"x", "00000000-0000-0000-0000-000000000000"} {
		s.get(attached+"/"+id).problem(http.StatusNotFound, "not-found")
	}
}
