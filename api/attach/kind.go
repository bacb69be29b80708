package attach

import (
	"bytes"
	"errors"
	"image/jpeg"
	"image/png"
	"slices"
)

// The kinds of files that may be attached, by their media types.
const (
	JPEG = "image/jpeg"
	PNG  = "image/png"
	WebP = "image/webp"
	PDF  = "application/pdf"
)

// endings are what names of files of each kind end with, the usual one first.
var endings = map[string][]string{
	JPEG: {".jpg", ".jpeg"},
	PNG:  {".png"},
	WebP: {".webp"},
	PDF:  {".pdf"},
}

// ErrKind is the answer to a file of any other kind.
var ErrKind = errors.New("only photographs and drawings (JPEG, PNG, WebP) and PDF can be attached")

// kindOf is what a file is by its content.
func kindOf(content []byte) (string, error) {
	begins := func(with string) bool { return bytes.HasPrefix(content, []byte(with)) }
	switch {
	case begins("\xff\xd8\xff"):
		if _, err := jpeg.DecodeConfig(bytes.NewReader(content)); err == nil {
			return JPEG, nil
		}
	case begins("\x89PNG\r\n\x1a\n"):
		if _, err := png.DecodeConfig(bytes.NewReader(content)); err == nil {
			return PNG, nil
		}
	case begins("RIFF") && len(content) > 16 && string(content[8:12]) == "WEBP":
		if slices.Contains([]string{"VP8 ", "VP8L", "VP8X"}, string(content[12:16])) {
			return WebP, nil
		}
	case begins("%PDF-1.") || begins("%PDF-2."):
		return PDF, nil
	}
	return "", ErrKind
}
