package web

import (
	"net/http"
	"testing"
)

// maxWeight is the most that any page may weigh, in bytes, before the line packs it.
const maxWeight = 100_000

func TestNoPageIsHeavy(t *testing.T) {
	s := newSite(t, demo)
	for name, path := range pagesToLookAt(s) {
		w, _ := s.get(path)
		if w.Code != http.StatusOK {
			t.Errorf("%s: status %d", name, w.Code)
		}
		if w.Body.Len() > maxWeight {
			t.Errorf("%s weighs %d bytes, more than %d", name, w.Body.Len(), maxWeight)
		}
		t.Logf("%-8s %6d bytes", name, w.Body.Len())
	}
}
