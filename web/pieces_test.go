package web

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"gaugerod/scheduler"
)

// TestPiecesFit: the pieces of a picture are the same rows and days as the page, what
// cannot be asked for is refused, and a piece of another plan is none.
func TestPiecesFit(t *testing.T) {
	s := newSite(t, demo)
	at := s.job + "/pieces/places?weeks=8&at=1.1"
	days := "&from=2026-06-08&until=2026-08-03"
	_, page := s.get(s.job + "/places?weeks=8")
	w, piece := s.get(at + days + "&strip=0")
	if w.Code != http.StatusOK || w.Header().Get("Cache-Control") != "private, no-cache" {
		t.Errorf("status %d, kept as %q", w.Code, w.Header().Get("Cache-Control"))
	}
	first, same := find(page, ".strip")[0], find(piece, ".strip")
	if len(same) != 1 || text(first) != text(same[0]) {
		t.Errorf("the first strip of the page and the piece differ")
	}
	if _, staff := s.get(at + days); len(find(staff, "svg.staff")) != 1 {
		t.Error("there is no staff")
	}
	for ask, want := range map[string]int{
		at + days + "&strip=900": http.StatusNotFound, at + days + "&strip=x": http.StatusBadRequest, at + days + "&strip=-1": http.StatusBadRequest,
		at + "&from=2026-08-03&until=2026-06-08": http.StatusBadRequest, at + "&from=1999-01-04&until=1999-01-11": http.StatusBadRequest,
		at + "&from=2026-06-08&until=soon": http.StatusBadRequest, at + "&step=nails": http.StatusNotFound,
		s.job + "/pieces/places?weeks=8&at=7.1" + days: http.StatusConflict, s.job + "/pieces/walls?weeks=8": http.StatusNotFound,
		s.job + "/pieces/flow.nails?weeks=8" + days: http.StatusNotFound, s.job + "/places?days=2": http.StatusBadRequest, s.job + "/places?step=nails": http.StatusNotFound,
		s.job + "/places?strip=x": http.StatusBadRequest, s.job + "/places?strip=900": http.StatusOK,
	} {
		if w, _ := s.get(ask); w.Code != want {
			t.Errorf("%s: %d, not %d", ask, w.Code, want)
		}
	}
}

// TestWaitsOfAStep: a step that is chosen has each of its waits told with its reason, and
// those drawn that hold.
func TestWaitsOfAStep(t *testing.T) {
	s := newSite(t, demo)
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []scheduler.ID{"opening-e1.set", "windows.delivery"} {
		if b.steps[id] == nil {
			continue
		}
		before, after := b.waitsAround(id)
		_, page := s.get(s.job + "/places?step=" + string(id))
		_, piece := s.get(s.job + "/pieces/places?weeks=8&step=" + string(id))
		told := len(find(page, "#chosen .waits li"))
		if want := min(mostWaits+1, len(before)) + min(mostWaits+1, len(after)); told != want {
			t.Errorf("%s: %d waits are told of %d", id, told, want)
		}
		if len(find(piece, ".waits li")) != told {
			t.Errorf("%s: the piece tells others than the page", id)
		}
		drawn := 0
		for _, class := range []string{"wt", "wl"} {
			drawn += len(find(piece, ".cords path."+class))
		}
		if want := len(b.waitsOf(id)); want == 0 || drawn != want {
			t.Errorf("%s: %d waits are drawn of %d", id, drawn, want)
		}
	}
	wantWords(t, s, s.job+"/places?step="+someStep(s), "What it waits for, and what waits for it")
}

// TestIssuedForOtherDays: a step that stands on other days than those it was issued for
// has a bracket over them, and says so.
func TestIssuedForOtherDays(t *testing.T) {
	s := slipped(t)
	_, page := s.get(s.job + "/places?weeks=8&from=2026-07-13")
	if len(find(page, ".course path.ws")) == 0 || len(find(page, ".course path.wy")) == 0 {
		t.Error("it is not drawn")
	}
	wantWords(t, s, s.job+"/pieces/places?weeks=8&step=windows.delivery", "Issue A had it on ")
	if _, page := newSite(t, demo).get(s.job + "/places"); len(find(page, ".course path.ws")) != 0 {
		t.Error("of what was never issued something is drawn")
	}
}

// TestOnlyRowsWithWork: of a week only the places are shown in which something happens.
func TestOnlyRowsWithWork(t *testing.T) {
	s := newSite(t, demo)
	_, all := s.get(s.job + "/places?weeks=1")
	_, only := s.get(s.job + "/places?weeks=1&only=1")
	n, most := len(find(only, ".courses h2")), len(find(all, ".courses h2"))
	if n == 0 || n >= most {
		t.Errorf("%d places of %d are shown", n, most)
	}
	wantWords(t, s, s.job+"/places?weeks=1&only=1", "Nothing happens meanwhile in")
}

// TestCordsInTheBrowser points at a block: its waits are drawn from block to block and all
// that holds it is told.
func TestCordsInTheBrowser(t *testing.T) {
	s := newSite(t, demo)
	b := newBrowser(t, s)
	b.screen(1280, 900, false)
	b.open(s.job + "/places?weeks=8&from=2026-07-13&step=opening-e1.set")
	said := measureLater[string](b, fmt.Sprintf(`(async () => {
		const link = document.querySelector('.field a[href="steps/%s"]');
		link.dispatchEvent(new PointerEvent("pointerover", { bubbles: true }));
		while (!document.querySelector(".cords") || !document.querySelector(".told li")) await new Promise(requestAnimationFrame);
		const end = document.querySelector(".cords path").getBoundingClientRect(), block = link.querySelector("path").getBoundingClientRect();
		return document.querySelector(".told").textContent + (end.right < block.left - 30 ? " the cord ends before the block" : "");
	})()`, "opening-e1.set"))
	if !strings.Contains(said, "Not sooner: ") || !strings.Contains(said, "comes") || strings.Contains(said, "ends before") {
		t.Errorf("it says %q", said)
	}
	b.shot("cords")
}
