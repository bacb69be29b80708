package nearest

import (
	"testing"

	"pgregory.net/rapid"
)

func TestName(t *testing.T) {
	have := []string{"framing", "windows", "cladding", "wall-north", "wall-south", "ida"}
	for _, c := range []struct {
		want, near string
		found      bool
	}{
		{"framer", "framing", false}, // three letters off in six
		{"framin", "framing", true},
		{"farming", "framing", true},
		{"Windows", "windows", true},
		{"wall_north", "wall-north", true},
		{"wall-nort", "wall-north", true},
		{"adi", "ida", false},
		{"iad", "ida", true},
		{"", "", false},
		{"i", "", false},
		{"plumbing", "", false},
	} {
		near, found := Name(c.want, have)
		if found != c.found || (found && near != c.near) {
			t.Errorf("Name(%q) = %q, %v; want %q, %v", c.want, near, found, c.near, c.found)
		}
	}
}

// The distance with early exit is compared with the plain recursion.
func TestDistanceAgainstRecursion(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		limit := rapid.IntRange(0, 4).Draw(t, "limit")
		want := min(recursive([]rune(a), []rune(b)), limit+1)
		if got := min(distance(a, b, limit), limit+1); got != want {
			t.Fatalf("distance(%q, %q, %d) = %d, want %d", a, b, limit, got, want)
		}
	})
}

func recursive(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	i, j := len(a), len(b)
	cost := 1
	if a[i-1] == b[j-1] {
		cost = 0
	}
	d := min(recursive(a[:i-1], b)+1, recursive(a, b[:j-1])+1, recursive(a[:i-1], b[:j-1])+cost)
	if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
		d = min(d, recursive(a[:i-2], b[:j-2])+1)
	}
	return d
}
