package web

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	device "github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// pointer is a mouse or a finger on the page.
type pointer struct {
	*browser
	touch bool
	x, y  float64
}

func (p *pointer) send(kind string) {
	p.t.Helper()
	p.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		if p.touch {
			e := device.DispatchTouchEventParams{Type: map[string]device.DispatchTouchEventType{"down": "touchStart", "move": "touchMove", "up": "touchEnd"}[kind]}
			e.TouchPoints = []*device.TouchPoint{}
			if kind != "up" {
				e.TouchPoints = append(e.TouchPoints, &device.TouchPoint{X: p.x, Y: p.y})
			}
			return cdp.Call(ctx, t, device.DispatchTouchEvent, e)
		}
		e := device.DispatchMouseEventParams{X: p.x, Y: p.y, Button: "left", Buttons: 1, ClickCount: 1}
		e.Type = map[string]device.DispatchMouseEventType{"down": "mousePressed", "move": "mouseMoved", "up": "mouseReleased"}[kind]
		return cdp.Call(ctx, t, device.DispatchMouseEvent, e)
	})
}

// over puts the pointer on a step of the picture, once it is in sight.
func (p *pointer) over(step string) {
	p.t.Helper()
	at := measure[[]float64](p.browser, fmt.Sprintf(`(() => {
		const shape = document.querySelector('.trying a[href*="=%s#"]').querySelector("path, use");
		const field = shape.closest(".field");
		shape.scrollIntoViewIfNeeded();
		field.scrollLeft += shape.getBoundingClientRect().left - field.getBoundingClientRect().left - 60;
		const r = shape.getBoundingClientRect();
		return [r.left + Math.min(r.width / 2, 20), r.top + r.height / 2];
	})()`, step))
	p.x, p.y = at[0], at[1]
}

// days is how many pixels lie between the day of a step and the one so many days later.
func (b *browser) days(step string, days int) float64 {
	b.t.Helper()
	return measure[float64](b, fmt.Sprintf(`(() => {
		const link = document.querySelector('.trying a[href*="=%s#"]'), shape = link.querySelector("path, use");
		const x = shape.tagName === "use" ? Number(shape.getAttribute("x")) : shape.getBBox().x;
		const lefts = document.querySelector(".trying").dataset.days.split(" ").slice(1).map(Number);
		const k = lefts.findLastIndex((l) => l <= x + 1);
		return lefts[k + %d] - lefts[k] + 2;
	})()`, step, days))
}

// aheadInPicture is a task of the demo that can be moved and a delivery, both on the
// first picture of a trial.
func aheadInPicture(b *browser) (task, delivery string) {
	b.t.Helper()
	inPicture := func(what string) []string {
		return measure[[]string](b, `[...document.querySelectorAll('.trying a[href*="?`+what+`="]')].map((a) => new URLSearchParams(a.getAttribute("href").split("#")[0]).get("`+what+`"))`)
	}
	tasks, comes := inPicture("pin"), inPicture("expected")
	k := slices.IndexFunc(comes, func(id string) bool {
		return b.sheet().Plan.FindStep("windows.delivery") != nil && id == "windows.delivery"
	})
	if len(tasks) == 0 || len(comes) == 0 {
		b.t.Fatalf("%d tasks and %d hold points can be dragged", len(tasks), len(comes))
	}
	return tasks[0], comes[max(k, 0)]
}

// TestAStepIsDraggedToAnotherDay in a real browser, with a mouse and with a finger: what
// it would move is shown while it is dragged, and letting go writes it into the trial.
func TestAStepIsDraggedToAnotherDay(t *testing.T) {
	for _, screen := range screens {
		t.Run(screen.name, func(t *testing.T) {
			s, at := beginTrial(t)
			b := newBrowser(t, s)
			b.screen(screen.width, screen.height, screen.phone)
			b.open(at)
			task, delivery := aheadInPicture(b)
			p := &pointer{browser: b, touch: screen.phone}
			for n, step := range []string{task, delivery} {
				p.over(step)
				p.send("down")
				begun := time.Now()
				far, was := b.days(step, 9), p.x
				for k := 1.0; k <= 6; k++ {
					p.x = was + far*k/6
					p.send("move")
				}
				b.until("it says what would move", func() bool {
					return measure[string](b, `document.querySelector(".shadowed").textContent`) != ""
				})
				t.Logf("from pressing to the first answer, with six moves: %v", time.Since(begun).Round(time.Millisecond))
				b.until("the answer is about the day on which it is", func() bool {
					return measure[bool](b, `document.querySelector(".held") !== null && document.querySelectorAll(".shadow").length > 0`)
				})
				b.has(".shadowed", "It is then planned")
				if len(s.memory.tried[0].Ops) != n {
					t.Fatalf("%d changes while it is dragged", len(s.memory.tried[0].Ops))
				}
				b.shot(screen.name + "-trial-dragging")
				p.send("up")
				b.until("it is in the trial", func() bool { return measure[int](b, `document.querySelectorAll("#changes .tried li").length`) == n+1 })
			}
			ops := s.memory.tried[0].Ops
			if len(ops) != 2 || ops[0].Pin == nil || string(ops[0].Pin.Step) != task || ops[0].Pin.NotBefore == nil || ops[1].Expected == nil || string(ops[1].Expected.Step) != delivery {
				t.Fatalf("the trial has %+v", ops)
			}
			if measure[string](b, `location.pathname`) != at {
				t.Error("a link was followed")
			}
			if over := measure[[]string](b, tooWide); len(over) > 0 {
				t.Errorf("wider than the screen: %v", over)
			}
			b.shot(screen.name + "-trial-dragged")
		})
	}
}

func (b *browser) key(key string, modifiers int64) {
	b.t.Helper()
	code := map[string]int64{"ArrowRight": 39, "ArrowLeft": 37, "Enter": 13, "Escape": 27}[key]
	for _, kind := range []device.DispatchKeyEventType{"rawKeyDown", "keyUp"} {
		b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
			return cdp.Call(ctx, t, device.DispatchKeyEvent, device.DispatchKeyEventParams{Type: kind, Key: key, Code: key, Modifiers: modifiers, WindowsVirtualKeyCode: code})
		})
	}
}

// TestAStepIsMovedByKeyboard: Shift and arrows move it, Escape leaves it, Enter puts it
// into the trial; a click and Enter alone lead to the form.
func TestAStepIsMovedByKeyboard(t *testing.T) {
	s, at := beginTrial(t)
	b := newBrowser(t, s)
	b.screen(1280, 900, false)
	b.open(at)
	task, _ := aheadInPicture(b)
	const shift = 8
	focus := func() {
		measure[bool](b, `document.querySelector('.trying a[href*="?pin=`+task+`#"]').focus() ?? true`)
	}
	focus()
	b.key("ArrowRight", shift)
	b.until("it says what would move", func() bool { return measure[string](b, `document.querySelector(".shadowed").textContent`) != "" })
	b.key("Escape", 0)
	if measure[bool](b, `document.querySelector(".held, .shadow") !== null || document.querySelector(".shadowed").textContent !== ""`) {
		t.Error("Escape leaves something behind")
	}
	for range 3 {
		b.key("ArrowRight", shift)
	}
	b.key("Enter", 0)
	b.until("it is in the trial", func() bool { return measure[int](b, `document.querySelectorAll("#changes .tried li").length`) == 1 })
	if !measure[bool](b, `document.activeElement.getAttribute("href")?.includes("`+task+`") ?? false`) {
		t.Error("the focus is lost")
	}
	focus()
	b.key("Enter", 0)
	b.until("its form is open", func() bool { return measure[string](b, `document.activeElement.id`) == "t-pin" })
	if got := measure[string](b, `document.querySelector("#t-pin-step").value`); got != task {
		t.Errorf("the form is of %q", got)
	}
	// The same link without script.
	b.open(at + "?pin=" + task)
	if !measure[bool](b, `document.querySelector("#t-pin").closest("details").open && document.querySelector("#t-pin-step").value === "`+task+`" && document.querySelector("#t-pin").value !== ""`) {
		t.Error("the link does not lead to the filled form")
	}
}
