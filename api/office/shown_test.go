package office

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gaugerod/db"
	"gaugerod/scheduler"
)

func hour(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, time.UTC) }

func event(uid string, from, until time.Time, steps ...scheduler.ID) db.ShownWindow {
	return db.ShownWindow{UID: uid, Place: "north", Steps: steps, From: from, Until: until, Summary: "Framing", Words: "From " + from.String()}
}

// shownAs is what calendars see, by name: how often it changed, and whether it is cancelled.
type shownAs struct {
	Sequence  int
	Cancelled bool
}

// showing goes through plans one after the other, as calendars do.
type showing struct {
	t    *testing.T
	kept []db.ShownWindow
	n    int
}

func (s *showing) see(plan *scheduler.Plan, want map[string]shownAs, now ...db.ShownWindow) {
	s.t.Helper()
	s.n++
	at := hour(1, 0).AddDate(0, 0, s.n)
	s.kept = reconcile(s.kept, now, plan, at)
	again := reconcile(s.kept, now, plan, at.Add(time.Hour))
	if d := cmp.Diff(s.kept, again); d != "" {
		s.t.Errorf("the same plan once more counts as a change: %s", d)
	}
	got := map[string]shownAs{}
	for _, w := range visible(append([]db.ShownWindow(nil), s.kept...), now, plan) {
		got[w.UID] = shownAs{w.Sequence, w.Cancelled}
	}
	if d := cmp.Diff(want, got); d != "" {
		s.t.Errorf("calendar %d (-want +got):\n%s", s.n, d)
	}
}

func asOf(day int, done ...scheduler.ID) *scheduler.Plan {
	p := &scheduler.Plan{AsOf: hour(day, 0)}
	for _, id := range done {
		p.Steps = append(p.Steps, scheduler.PlannedStep{ID: id, State: scheduler.Complete})
	}
	return p
}

func TestEventsCountOnlyWhenTheyChange(t *testing.T) {
	s := &showing{t: t}
	a, b := event("a", hour(4, 8), hour(5, 16), "frame", "brace"), event("b", hour(11, 8), hour(12, 16), "strike")
	s.see(asOf(1), map[string]shownAs{"a": {}, "b": {}}, a, b)
	// b moves, a does not.
	b.From, b.Until = hour(13, 8), hour(14, 16)
	s.see(asOf(1), map[string]shownAs{"a": {}, "b": {Sequence: 1}}, a, b)
	// The first step of a is done: its window has another name, and the event keeps its own.
	s.see(asOf(5, "frame"), map[string]shownAs{"a": {Sequence: 1}, "b": {Sequence: 1}}, event("brace", hour(5, 8), hour(5, 16), "brace"), b)
	// b is run together with new work, and has a new first step.
	s.see(asOf(5, "frame"), map[string]shownAs{"a": {Sequence: 1}, "b": {Sequence: 2}},
		event("brace", hour(5, 8), hour(5, 16), "brace"), event("clean", hour(12, 8), hour(14, 16), "clean", "strike"))
}

func TestEventsThatVanish(t *testing.T) {
	s := &showing{t: t}
	a, b, c := event("a", hour(4, 8), hour(6, 16), "frame"), event("b", hour(11, 8), hour(12, 16), "strike"), event("c", hour(18, 8), hour(19, 16), "clean")
	s.see(asOf(1), map[string]shownAs{"a": {}, "b": {}, "c": {}}, a, b, c)
	// a has begun and is done: it has been. b is taken out of the job: it is cancelled.
	s.see(asOf(5, "frame"), map[string]shownAs{"b": {Sequence: 1, Cancelled: true}, "c": {}}, c)
	// b comes back, and goes on counting.
	b.From, b.Until = hour(12, 8), hour(13, 16)
	s.see(asOf(5, "frame"), map[string]shownAs{"b": {Sequence: 2}, "c": {}}, b, c)
	// c is done long before it was planned: calendars take it away.
	s.see(asOf(6, "frame", "clean"), map[string]shownAs{"b": {Sequence: 2}, "c": {Sequence: 1, Cancelled: true}}, b)
	// Once its days are past nobody needs to hear of it any more.
	s.see(asOf(20, "frame", "clean"), map[string]shownAs{}, []db.ShownWindow(nil)...)
}

// A window that is parted: its first part keeps the name, and another part that would
// be called the same gets a name that no event has had.
func TestEventsThatPart(t *testing.T) {
	s := &showing{t: t}
	s.see(asOf(1), map[string]shownAs{"x": {}}, event("x", hour(4, 8), hour(8, 16), "x", "y"))
	s.see(asOf(1), map[string]shownAs{"x": {Sequence: 1}, "2.x": {}},
		event("y", hour(4, 8), hour(4, 16), "y"), event("x", hour(11, 8), hour(12, 16), "x"))
}
