package office

import (
	"context"
	"errors"
	"testing"
)

// TestLongPlansDoNotKeepQuickOnesWaiting: each kind has slots of its own.
func TestLongPlansDoNotKeepQuickOnesWaiting(t *testing.T) {
	s := newSlots(2)
	leave, err := s.enter(t.Context(), false)
	if err != nil {
		t.Fatal(err)
	}
	given, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.enter(given, false); !errors.Is(err, context.Canceled) {
		t.Errorf("a second long plan is let in beside the first: %v", err)
	}
	quick, err := s.enter(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	quick()
	leave()
	if leave, err = s.enter(t.Context(), false); err != nil {
		t.Fatal(err)
	}
	leave()
}
