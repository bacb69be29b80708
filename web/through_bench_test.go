package web

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What the picture of the demo is to take in a browser, and each frame while one of 20,000
// steps is scrolled through.
const (
	drawnWithin = 100 // ms
	frameWithin = 50  // ms
)

// drawnIn puts a part of a page that came before into a page, and gives how long it takes
// until it has been painted, in ms: read, styled, laid out and drawn.
const drawnIn = `(async (path) => {
	const text = await (await fetch(path)).text(), frame = () => new Promise(requestAnimationFrame);
	await frame();
	await frame();
	const begun = performance.now();
	const picture = new DOMParser().parseFromString(text, "text/html").querySelector("%s");
	document.querySelector("main").replaceChildren(document.adoptNode(picture));
	await frame();
	await new Promise((done) => setTimeout(done));
	return performance.now() - begun;
})("%s")`

// loadedIn is how long the page took from its first byte until all of it was there, in ms.
const loadedIn = `(async () => {
	const n = performance.getEntriesByType("navigation")[0];
	while (!n.loadEventEnd) await new Promise(requestAnimationFrame);
	return n.loadEventEnd - n.responseStart;
})()`

// scrolled goes down a picture and then along it, as far in each frame as a quick hand goes,
// and gives how long every frame took, in ms.
const scrolled = `(async () => {
	const box = document.querySelector(".field"), frame = () => new Promise(requestAnimationFrame), took = [];
	box.scrollTo(0, 0);
	for (let k = 0; k < 30; k++) await frame();
	let last = await frame();
	for (const [x, y] of [[0, 90], [60, 0]]) {
		for (let k = 0; k < 250; k++) {
			box.scrollBy(x, y);
			const now = await frame();
			took.push(now - last);
			last = now;
		}
	}
	return took;
})()`

// stolen is how long the machine's processors have been kept from it by others, in ms since
// it began, where it can be known: what is drawn then is late without being slow.
func stolen() float64 {
	stat, err := os.ReadFile("/proc/stat")
	if err != nil {
		return 0
	}
	const field, tick = 8, 10 // of the first line; in ms
	all := strings.Fields(strings.SplitN(string(stat), "\n", 2)[0])
	if len(all) <= field {
		return 0
	}
	n, _ := strconv.ParseFloat(all[field], 64)
	return n * tick
}

// BenchmarkThrough opens pictures in a browser and scrolls through them, by the browser's
// own clock. The figures over 1 miss their goal.
func BenchmarkThrough(b *testing.B) {
	for _, c := range []struct {
		name string
		site func(testing.TB) *site
		path string
	}{
		{"demo", func(t testing.TB) *site { return newSite(t, demo) }, "/places"},
		{"large", largeSite, "/places"},
		{"large-whole", largeSite, "/places?weeks=0"},
		{"large-trades", largeSite, "/trades-over-time"},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := c.site(b)
			s.get(s.job + c.path) // the plan is made before
			w := newBrowserOver(b, s, s.echo, 10*time.Minute)
			w.screen(1280, 900, false)
			var loaded, drawn, whole, frames []float64
			before := stolen()
			for b.Loop() {
				w.open("/words")
				for range 5 {
					drawn = append(drawn, measureLater[float64](w, fmt.Sprintf(drawnIn, ".field", s.job+c.path)))
					whole = append(whole, measureLater[float64](w, fmt.Sprintf(drawnIn, "main", s.job+c.path)))
				}
				w.open(s.job + c.path)
				loaded = append(loaded, measureLater[float64](w, loadedIn))
				frames = append(frames, measureLater[[]float64](w, scrolled)...)
			}
			slices.Sort(loaded)
			slices.Sort(drawn)
			slices.Sort(whole)
			slices.Sort(frames)
			b.ReportMetric(loaded[len(loaded)/2], "load-ms")
			b.ReportMetric(whole[len(whole)/2], "with-its-page-ms")
			b.ReportMetric(drawn[len(drawn)/2], "draw-ms")
			b.ReportMetric(drawn[len(drawn)/2]/drawnWithin, "draw/goal")
			b.ReportMetric(frames[len(frames)*99/100], "99%-frame-ms")
			b.ReportMetric(frames[len(frames)-1], "longest-frame-ms")
			b.ReportMetric(frames[len(frames)-1]/frameWithin, "longest-frame/goal")
			b.ReportMetric(stolen()-before, "stolen-ms")
		})
	}
}
