package web

import (
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"gaugerod/scheduler"
)

// Bounds of a picture that is scrolled through, at each place where it comes to rest.
const (
	mostElements = 12_000  // in the picture
	mostPiece    = 100_000 // bytes of an answer
	mostBrought  = 400_000 // bytes of all pieces around one view
)

// inView is what a browser has of a picture where it stands.
type inView struct {
	Left, Right float64  // of the view, in the picture
	Rows        []string // that lie in the view from caption to foot
	Steps       []string // that are drawn in the view, by row: "Part 3/s45"
	Elements    int
}

// lookAround scrolls to a place, waits until nothing is brought any more, and looks.
const lookAround = `(async (x, y) => {
	const box = document.querySelector(".field"), frame = () => new Promise(requestAnimationFrame);
	box.scrollTo(x, y);
	for (let still = 0; still < 3; still = box.ariaBusy === "true" ? 0 : still + 1) await frame();
	const view = box.getBoundingClientRect(), top = box.querySelector(".head").getBoundingClientRect().bottom, bottom = view.top + box.clientHeight;
	const rows = [], steps = [];
	const sections = [...box.querySelectorAll(".courses section")].map((el) => ({ el, at: el.getBoundingClientRect() })).sort((a, b) => a.at.top - b.at.top);
	let row, edge; // a tall row comes in several sections, of which only the first has its title
	for (const { el, at } of sections) {
		const title = el.querySelector("h2")?.textContent;
		if (title) row = { title, steps: [], whole: at.top >= top - 1 };
		else if (!row || Math.abs(at.top - edge) > 2) { row = undefined; continue; }
		edge = at.bottom;
		for (const a of el.querySelectorAll('a[href^="steps/"]')) {
			const b = a.querySelector("path, use").getBoundingClientRect();
			if (b.right >= view.left && b.left <= view.left + box.clientWidth) row.steps.push(row.title + "/" + a.getAttribute("href").slice(6));
		}
		if (el.classList.contains("goes-on")) continue;
		if (row.whole && at.bottom <= bottom + 1) {
			rows.push(row.title);
			steps.push(...row.steps);
		}
		row = undefined;
	}
	return { Left: box.scrollLeft, Right: box.scrollLeft + box.clientWidth, Rows: rows, Steps: steps, Elements: box.querySelectorAll("*").length };
})(%d, %d)`

// TestScrollThrough scrolls over all of a picture, of the demo and of a job of 20,000 steps:
// wherever it comes to rest every step that lies in the view is drawn, there are never more
// than so many elements, and no answer is large.
func TestScrollThrough(t *testing.T) {
	for _, c := range []struct {
		name string
		site func(testing.TB) *site
		path string
	}{
		{"demo", func(t testing.TB) *site { return newSite(t, demo) }, "/places"},
		{"demo in a day", func(t testing.TB) *site { return newSite(t, demo) }, "/places?days=1"},
		{"large", largeSite, "/places"},
		{"large in whole", largeSite, "/places?weeks=0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := c.site(t)
			answers := &weighed{inner: s.echo}
			b := newBrowserOver(t, s, answers, 4*time.Minute)
			b.screen(1280, 900, false)
			b.open(s.job + c.path)
			if w := answers.take(); slices.Max(w) > maxWeight {
				t.Errorf("the page weighs %d bytes", slices.Max(w))
			}
			expect := expectedIn(t, s, c.path)
			size := measure[[]int](b, `(f => [f.scrollWidth - f.clientWidth, f.scrollHeight - f.clientHeight])(document.querySelector(".field"))`)
			seen, most := map[string]bool{}, 0
			for _, at := range walk(size[0], size[1]) {
				is := measureLater[inView](b, fmt.Sprintf(lookAround, at[0], at[1]))
				most = max(most, is.Elements)
				want := expect(&is)
				drawn := map[string]bool{}
				for _, id := range is.Steps {
					drawn[id] = true
				}
				for _, id := range want {
					if !drawn[id] {
						t.Errorf("at %v %s is not drawn", at, id)
					}
					seen[id] = true
				}
				if is.Elements > mostElements {
					t.Errorf("at %v there are %d elements", at, is.Elements)
				}
				sum := 0
				for _, n := range answers.take() {
					if sum += n; n > mostPiece {
						t.Errorf("at %v a piece of %d bytes came", at, n)
					}
				}
				if sum > mostBrought {
					t.Errorf("at %v pieces of %d bytes came", at, sum)
				}
			}
			if len(seen) < 10 {
				t.Errorf("only %d steps came into view", len(seen))
			}
			t.Logf("%d steps came into view, at most %d elements", len(seen), most)
		})
	}
}

// walk goes down the middle of a picture, then along it, then here and there: with
// GAUGEROD_ROLES=all in shorter steps.
func walk(width, height int) [][2]int {
	var all [][2]int
	stops := 5
	if allRoles() {
		stops = 12
	}
	for k := range stops + 1 {
		all = append(all, [2]int{width / 2, height * k / stops})
	}
	for k := range stops + 1 {
		all = append(all, [2]int{width * k / stops, height / 3})
	}
	for k := range stops {
		all = append(all, [2]int{width * (k * 7 % stops) / stops, height * (k * 11 % stops) / stops})
	}
	return all
}

// expectedIn is the steps that lie in a view, worked out from the plan alone: those in its
// rows any of whose time lies between its edges.
func expectedIn(t testing.TB, s *site, path string) func(*inView) []string {
	t.Helper()
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	turn := turning{path: "/places", zoom: zooms[3], reach: b.reach()}
	for _, z := range zooms {
		if strings.HasSuffix(path, z.param) {
			turn.zoom = z
		}
	}
	scale := b.scaleOf(turn)
	at := map[string][]*scheduler.PlannedStep{} // by the title of the row
	for id, steps := range b.byPlace() {
		title := "Off site and on paper"
		if id != "" {
			title = b.place(id)
		}
		at[title] = append(at[title], steps...)
	}
	return func(in *inView) []string {
		var all []string
		for _, row := range in.Rows {
			for _, step := range at[row] {
				from, to := scale.X(step.Start), scale.X(step.Finish)
				if step.Kind == scheduler.HoldStep {
					from = to
				}
				if to > in.Left+2 && from < in.Right-2 {
					all = append(all, row+"/"+string(step.ID))
				}
			}
		}
		return all
	}
}

// weighed notes how heavy each answer is.
type weighed struct {
	inner http.Handler
	mu    sync.Mutex
	bytes []int
}

func (h *weighed) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if strings.HasPrefix(r.URL.Path, "/static/") || strings.Contains(r.URL.Path, "/events") {
		h.inner.ServeHTTP(w, r)
		return
	}
	answer := httptest.NewRecorder()
	h.inner.ServeHTTP(answer, r)
	h.mu.Lock()
	h.bytes = append(h.bytes, answer.Body.Len())
	h.mu.Unlock()
	maps.Copy(w.Header(), answer.Header())
	w.WriteHeader(answer.Code)
	_, _ = w.Write(answer.Body.Bytes())
}

// take is what came since it was last asked.
func (h *weighed) take() []int {
	h.mu.Lock()
	defer h.mu.Unlock()
	all := h.bytes
	h.bytes = nil
	return all
}

// measureLater evaluates an expression that gives its value later.
func measureLater[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}
