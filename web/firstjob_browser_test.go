package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Seconds of the keystroke-level model (Card, Moran and Newell, "The keystroke-level model
// for user performance time with interactive systems", 1980; figures from memory): a key by
// somebody who does not know the keyboard, pointing at something, making up one's mind.
const (
	aKey  = 1.20
	aTap  = 1.10
	aMind = 1.35
)

// thumb does what a person does on a phone, and counts it.
type thumb struct {
	*browser
	keys, taps int
}

func (p *thumb) tap(selector string) {
	p.t.Helper()
	p.taps++
	press(selector)(p.browser)
}

func (p *thumb) tick(selector string) {
	p.t.Helper()
	p.taps++
	p.do(chromedp.Click(selector))
}

// write clears a field and types into it, key by key.
func (p *thumb) write(selector, text string) {
	p.t.Helper()
	p.taps++
	p.keys += len(text)
	measure[string](p.browser, fmt.Sprintf(`document.querySelector(%q).value = ""`, selector))
	p.do(chromedp.SendKeys(selector, text))
}

// choose opens a list and takes a line of it; a day is chosen likewise.
func (p *thumb) choose(selector, value string) {
	p.t.Helper()
	p.taps += 2
	fillIn(selector, value)(p.browser)
}

func (p *thumb) seconds() float64 {
	return float64(p.keys)*aKey + float64(p.taps)*(aTap+aMind)
}

// TestAFirstJobOnAPhone sets a job up on a phone, on a real database: from the page of jobs
// without any to a plan of a small house with its last day held against a due day. By the
// model that takes far less than 15 minutes, even if every tap was thought over and every
// page was read for half a minute.
func TestAFirstJobOnAPhone(t *testing.T) {
	s := newStoredSite(t, garden)
	b := newBrowser(t, s)
	b.screen(screens[0].width, screens[0].height, true)
	p := &thumb{browser: b}
	const sendIt = "form.thing > p > button:not(.unseen), form.thing > button:not(.unseen)"
	pages := 0
	to := func(selector string) { t.Helper(); p.tap(selector); pages++ }

	p.open("/")
	p.taps++
	follow("a[href='/new-job']")(b)
	p.write("#ask-title", "A small house")
	p.write("#ask-people-owner-name", "Zoe Example")
	to(sendIt)
	for _, typical := range []string{"foundation-steps", "wall-steps", "roof-steps", "window-steps", "wet-room-steps", "kitchen-steps"} {
		p.tick(`[type=checkbox][name=` + typical + `]`)
	}
	to(sendIt)
	const home = "/jobs/a-small-house"
	for _, add := range []struct {
		kind string
		fill func()
	}{
		{"tasks", func() {
			p.write("#ask-title", "Sweep and hand over")
			p.write("#ask-takes", "1 day")
			p.write("#ask-after-0-step", "kitchen-steps.connect")
		}},
		{"dues", func() {
			p.write("#ask-title", "Handed over")
			p.write("#ask-step", "sweep-and-hand-over")
			p.choose("#ask-on", "2027-03-01")
		}},
	} {
		p.open(home + "/edit")
		p.taps += 2 // to the list, and to the form
		follow("main a[href$='/edit/" + add.kind + "']")(b)
		follow("main a[href$='/edit/" + add.kind + "/+']")(b)
		add.fill()
		to(keepIt)
		pages += 2
	}
	b.open(home)
	b.shot("phone-first-job")

	sheet := s.smallHouse()
	if len(sheet.Job.Dues) != 1 {
		t.Errorf("%d due days", len(sheet.Job.Dues))
	}
	estimate := time.Duration((p.seconds() + 30*float64(pages)) * float64(time.Second))
	t.Logf("%d taps, %d keys, %d pages: %v by the keystroke-level model, with half a minute for each page", p.taps, p.keys, pages, estimate.Round(time.Second))
	if estimate > 15*time.Minute {
		t.Errorf("a first job takes %v", estimate)
	}
}
