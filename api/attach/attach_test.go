package attach

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"mime"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"gaugerod/db"
	"gaugerod/scheduler"
)

func picture() image.Image { return image.NewGray(image.Rect(0, 0, 3, 2)) }

func jpegFile(t testing.TB) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture(), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngFile(t testing.TB) []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, picture()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestKindIsWhatTheContentShows(t *testing.T) {
	photo, drawing := jpegFile(t), pngFile(t)
	webp := "RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07\x00"
	for name, c := range map[string]struct{ content, want string }{
		"a photograph": {string(photo), JPEG}, "a drawing": {string(drawing), PNG}, "another picture": {webp, WebP},
		"a report": {"%PDF-1.7\n1 0 obj\n", PDF}, "a newer report": {"%PDF-2.0\n", PDF},

		"a page":                          {"<!doctype html><script>alert(1)</script>", ""},
		"a page after white space":        {"\n\n  <html>", ""},
		"a drawing with script":           {`<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`, ""},
		"XML":                             {`<?xml version="1.0"?><x/>`, ""},
		"an archive":                      {"PK\x03\x04\x14\x00", ""},
		"a program":                       {"\x7fELF\x02\x01\x01", ""},
		"a script":                        {"#!/bin/sh\n", ""},
		"another kind of picture":         {"GIF89a\x01\x00\x01\x00", ""},
		"only the beginning of a photo":   {"\xff\xd8\xff\xe0", ""},
		"a page that begins as a photo":   {"\xff\xd8\xff<html><script>alert(1)</script>", ""},
		"a page that begins as a drawing": {"\x89PNG\r\n\x1a\n<html>", ""},
		"a film":                          {"RIFF\x1a\x00\x00\x00AVI LIST", ""},
		"a report further down":           {"<html>%PDF-1.7", ""},
		"a report of no edition":          {"%PDF-x<html>", ""},
		"words":                           {"hello", ""},
		"one byte":                        {"\xff", ""},
	} {
		kind, err := kindOf([]byte(c.content))
		if kind != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s is %q, %v; want %q", name, kind, err, c.want)
		}
	}
}

func TestNamesAreMadeHarmless(t *testing.T) {
	for sent, want := range map[string]string{
		"sill.jpg": "sill.jpg", "Sill N3.JPEG": "Sill N3.jpeg", "": "attachment.jpg", ".jpg": "attachment.jpg", "..": "attachment.jpg",
		"../../etc/passwd": "passwd.jpg", `C:\Users\kim\sill.jpg`: "sill.jpg", "sill.php": "sill.php.jpg", "sill.jpg.exe": "sill.jpg.exe.jpg",
		"sill.html": "sill.html.jpg", "a\r\nX-Evil: 1.jpg": "aX-Evil- 1.jpg", `a"b.jpg`: "a-b.jpg", "Fensterbänke große.jpg": "Fensterbänke große.jpg",
		"gpj\u202egpj.exe": "gpjgpj.exe.jpg", "a\x00b.jpg": "ab.jpg", "\xff\xfe.jpg": "attachment.jpg", "con .jpg": "con.jpg", "窓.jpg": "窓.jpg",
	} {
		if got := nameOf(sent, JPEG); got != want {
			t.Errorf("%q becomes %q, want %q", sent, got, want)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		name := nameOf(string(rapid.SliceOf(rapid.Byte()).Draw(r, "name")), PDF)
		if again := nameOf(name, PDF); again != name {
			r.Fatalf("%q becomes %q", name, again)
		}
		if len(name) > longestName+5 || strings.ContainsAny(name, "/\\\r\n\x00\"") || !strings.HasSuffix(strings.ToLower(name), ".pdf") {
			r.Fatalf("%q", name)
		}
		how, fields, err := mime.ParseMediaType(disposition(name))
		if err != nil || how != "attachment" || fields["filename"] != name {
			r.Fatalf("%s: %s %q %v", disposition(name), how, fields, err)
		}
	})
}

// shelf is a store that remembers what it was asked to keep.
type shelf struct {
	kept db.Attachment
	room db.Shelf
}

func (s *shelf) Attach(_ context.Context, _ scheduler.ID, a db.Attachment, _ []byte, room db.Shelf) (db.Attachment, error) {
	s.kept, s.room = a, room
	return a, nil
}

func (s *shelf) Attachments(context.Context, scheduler.ID, scheduler.ID) ([]db.Attachment, error) {
	return nil, nil
}

func (s *shelf) Attachment(context.Context, scheduler.ID, uuid.UUID) (db.Attachment, []byte, error) {
	return s.kept, nil, nil
}

func (s *shelf) RemoveAttachment(_ context.Context, _ scheduler.ID, _ uuid.UUID, _ db.Author, may func(db.Attachment) error) error {
	return may(s.kept)
}

func TestBring(t *testing.T) {
	s := &shelf{}
	b := New(s, time.Now)
	bring := func(content []byte) error {
		_, err := b.Bring(context.Background(), "shed", "frame", "frame.html", db.Author{Name: "kim"}, bytes.NewReader(content))
		return err
	}
	if err := bring(jpegFile(t)); err != nil || s.kept.Kind != JPEG || s.kept.Name != "frame.html.jpg" || s.room.Count == 0 {
		t.Errorf("%+v, %v", s.kept, err)
	}
	just := append(pngFile(t), make([]byte, MostBytes)...)[:MostBytes]
	if err := bring(just); err != nil {
		t.Errorf("a file as large as one may be: %v", err)
	}
	for want, content := range map[error][]byte{ErrTooLarge: append(just, 0), ErrEmpty: {}, ErrKind: []byte("hello")} {
		if err := bring(content); !errors.Is(err, want) {
			t.Errorf("%v, want %v", err, want)
		}
	}
	if _, err := b.Bring(context.Background(), "shed", "frame", "", db.Author{Name: "kim"}, broken{}); !errors.Is(err, ErrBroken) {
		t.Error("what could not be read was kept")
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errors.New("the line is dead") }

func TestWhoRemoves(t *testing.T) {
	brought := time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)
	kim, bo := db.Author{Name: "Kim", Account: uuid.New()}, db.Author{Name: "Kim", Account: uuid.New()}
	for name, c := range map[string]struct {
		by    db.Author
		owner bool
		after time.Duration
		may   bool
	}{
		"who brought it":           {kim, false, time.Hour, true},
		"who brought it, a day on": {kim, false, 24 * time.Hour, false},
		"another of the same name": {bo, false, time.Hour, false},
		"who has no account":       {db.Author{Name: "Kim"}, false, time.Hour, false},
		"the owner":                {bo, true, 1000 * time.Hour, true},
	} {
		s := &shelf{kept: db.Attachment{At: brought, By: kim}}
		b := New(s, func() time.Time { return brought.Add(c.after) })
		err := b.Remove(context.Background(), "shed", uuid.NewString(), c.by, c.owner)
		if (err == nil) != c.may || err != nil && !errors.Is(err, ErrNotYours) {
			t.Errorf("%s: %v", name, err)
		}
	}
	nobodys := &shelf{kept: db.Attachment{At: brought, By: db.Author{Name: "a command"}}}
	if err := New(nobodys, func() time.Time { return brought }).Remove(context.Background(), "shed", uuid.NewString(), db.Author{Name: "a command"}, false); err == nil {
		t.Error("who has no account removed what nobody's account brought")
	}
	for _, id := range []string{"", "x", "{" + uuid.NewString() + "}", "urn:uuid:" + uuid.NewString()} {
		if err := New(nobodys, time.Now).Remove(context.Background(), "shed", id, kim, true); !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("%q: %v", id, err)
		}
	}
}
