package web

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// TestWhatABlockSays reaches a block in places over time by pointer and by keyboard, and
// reads in the box under the picture why its work is not sooner.
func TestWhatABlockSays(t *testing.T) {
	s := newSite(t, demo)
	b := newBrowser(t, s)
	b.screen(1280, 900, false)
	b.open(s.job + "/places?weeks=16")
	if shown := measure[bool](b, `document.querySelector(".told").getClientRects().length > 0`); shown {
		t.Error("the box is there before anything is said")
	}
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) { // a window in the background has no focus to give
		return cdp.Call(ctx, t, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	})
	waits := `[...document.querySelectorAll(".field a")].filter(a => a.textContent.includes("Not sooner: "))`
	for _, way := range []string{"focus()", `dispatchEvent(new PointerEvent("pointerover", {bubbles: true}))`} {
		said := measure[string](b, `(() => { const all = `+waits+`, a = all[`+map[bool]string{true: "0", false: "1"}[way == "focus()"]+`];
			document.querySelector(".told").textContent = ""; a.`+way+`; return document.querySelector(".told").textContent === a.querySelector("title").textContent ? document.querySelector(".told").textContent : "" })()`)
		if !strings.Contains(said, "Not sooner: ") {
			t.Errorf("%s: it says %q", way, said)
		}
	}
	b.shot("told")
}
