package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/google/uuid"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// task is something that people do on the pages, as they do it in a browser.
type task struct {
	name  string
	route string // of the form, as it was declared: who may do it stands in the table of rights
	page  func(*site) string
	does  []act
	in    string           // the element that tells afterwards
	words string           // what it tells
	roles []scheduler.Role // who does it, where the table of rights does not say it all
	kept  bool             // on a real database, for what the memory does not keep
}

// keepIt is the button that keeps what a form of the job says.
const keepIt = "form.thing button[value=keep]:not(.unseen)"

// act is one thing done in a browser.
type act func(*browser)

// way is how somebody looks at the pages while doing a task.
type way struct {
	screen   int // of screens
	dark     bool
	scripted bool
}

func (w way) String() string {
	return fmt.Sprintf("%s, dark %v, script %v", screens[w.screen].name, w.dark, w.scripted)
}

var everyWay = []way{{0, false, true}, {1, true, false}, {0, true, false}, {1, false, true}}

// TestEveryTaskInABrowser does each task of the table as the roles do it that may, and sees
// that nobody else is offered it. A task is done once, each in another way and role than
// the one before; with GAUGEROD_ROLES=all (make soak) by every role in every way: at both
// sizes, by day and by night, with script and without.
func TestEveryTaskInABrowser(t *testing.T) {
	now := &turned{}
	b := newBrowserOver(t, nil, now, 20*time.Minute)
	b.script(true) // starts it, so that it outlives the first task
	for k, c := range everyTask {
		t.Run(c.name, func(t *testing.T) {
			may := c.doers()
			if len(may) == 0 {
				t.Fatalf("nobody may: %s is not in the table of rights", c.route)
			}
			ways := []way{everyWay[k%len(everyWay)]}
			doers := []scheduler.Role{may[k%len(may)]}
			if allRoles() {
				ways, doers = everyWay, may
			}
			for _, role := range doers {
				for _, way := range ways {
					s := c.site(t)
					page := c.page(s)
					if role == doers[0] && way == ways[0] {
						c.isHiddenFromOthers(s, page, may)
					}
					now.to = s.askedIn(role)
					here := *b
					here.t, here.site = t, s
					var end context.CancelFunc
					here.ctx, end = context.WithTimeout(b.ctx, 20*time.Second)
					defer end()
					here.doTask(c, page, role, way)
				}
			}
		})
	}
}

// turned hands requests on to the site of the task at hand.
type turned struct{ to http.Handler }

func (h *turned) ServeHTTP(w http.ResponseWriter, r *http.Request) { h.to.ServeHTTP(w, r) }

func (c task) site(t *testing.T) *site {
	if c.kept {
		return newStoredSite(t, demo)
	}
	return newSite(t, demo)
}

// doers are the roles that may send the task's form, unless it names some of them itself.
func (c task) doers() []scheduler.Role {
	if c.roles != nil {
		return c.roles
	}
	var may []scheduler.Role
	for _, role := range everyRole {
		who := visitorIn(role)
		if role == scheduler.TradeRole {
			who = signin.Visitor{Session: uuid.New(), Link: &signin.TradeLink{}}
		}
		if rights.Pages[c.route].May(who) {
			may = append(may, role)
		}
	}
	return may
}

func (b *browser) doTask(c task, page string, role scheduler.Role, w way) {
	b.t.Helper()
	screen := screens[w.screen]
	b.screen(screen.width, screen.height, screen.phone)
	b.dark(w.dark)
	b.script(w.scripted)
	defer b.script(true)
	b.open(page)
	for _, act := range c.does {
		act(b)
	}
	told := measure[[]string](b, fmt.Sprintf(`[...document.querySelectorAll(%q)].map(e => e.textContent)`, c.in))
	if len(told) == 0 || !strings.Contains(strings.Join(told, " "), c.words) {
		problems := measure[[]string](b, `[...document.querySelectorAll(".problem")].map(e => e.textContent)`)
		b.t.Errorf("%s, %v: %s says %.300q, not %q; problems %q", role, w, c.in, told, c.words, problems)
	}
	if over := measure[[]string](b, tooWide); len(over) > 0 {
		b.t.Errorf("%s, %v: wider than the screen: %v", role, w, over)
	}
}

// isHiddenFromOthers reads the page in each other role: it must not hold the form.
func (c task) isHiddenFromOthers(s *site, page string, may []scheduler.Role) {
	s.t.Helper()
	method, path, _ := strings.Cut(c.route, " ")
	if method != http.MethodPost || c.roles != nil {
		return
	}
	for _, role := range everyRole {
		if slices.Contains(may, role) || role == scheduler.TradeRole || may[0] == scheduler.TradeRole {
			continue // links and seats have no page in common
		}
		w := httptest.NewRecorder()
		if !rights.May(visitorIn(role), http.MethodGet, s.route(page)) {
			continue
		}
		s.askedIn(role).ServeHTTP(w, httptest.NewRequest(http.MethodGet, page, nil))
		last := path[strings.LastIndex(path, "/"):] + `"`
		for part := range strings.SplitSeq(w.Body.String(), "<form") {
			tag, _, _ := strings.Cut(part, ">")
			if w.Code != http.StatusOK || strings.Contains(tag, `method="post"`) && strings.Contains(tag, last) {
				s.t.Errorf("%s is offered it on %s (%d)", role, page, w.Code)
			}
		}
	}
}

// script lets pages run theirs, or not.
func (b *browser) script(on bool) {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		return cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
	})
}

// reach is where a finger finds an element: its size, and whether it is what lies there.
type reach struct {
	Width, Height float64
	Covered       string
}

const reaching = `(() => {
	const e = document.querySelector(%q);
	for (let d = e?.closest("details:not([open])"); d; d = d.parentElement.closest("details:not([open])")) d.open = true;
	if (!e) return { Covered: "is not there" };
	e.scrollIntoViewIfNeeded();
	const r = e.getBoundingClientRect(), top = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
	return { Width: r.width, Height: r.height, Covered: top && (e.contains(top) || top.contains(e)) ? "" : (top?.outerHTML ?? "nothing").slice(0, 120) };
})()`

// press clicks what must be there, large enough for a finger (24 by 24 pixels of CSS, WCAG
// 2.2, success criterion 2.5.8) and under nothing else, and waits for the page that follows.
func press(selector string) act {
	return func(b *browser) {
		b.t.Helper()
		if r := measure[reach](b, fmt.Sprintf(reaching, selector)); r.Width < 24 || r.Height < 24 || r.Covered != "" {
			b.t.Fatalf("%s is %.0f by %.0f, and over it lies %q", selector, r.Width, r.Height, r.Covered)
		}
		b.submit(selector)
	}
}

// follow clicks a link in a sentence, which is as large as its letters.
func follow(selector string) act {
	return func(b *browser) {
		b.t.Helper()
		b.submit(selector)
	}
}

// fillIn writes into a field, or chooses: a day, a line of a list, a text.
func fillIn(selector, value string) act {
	return func(b *browser) {
		b.t.Helper()
		is := measure[string](b, fmt.Sprintf(`(e => {
			if (!e) return "it is not there";
			if (e.tagName === "SELECT" && ![...e.options].some(o => o.value === %[2]q)) return "there is no such choice among " + [...e.options].map(o => o.value);
			e.value = %[2]q;
			return e.labels?.length || e.ariaLabel ? e.value : "it has no label";
		})(document.querySelector(%[1]q))`, selector, value))
		if is != value {
			b.t.Fatalf("%s: %s", selector, is)
		}
	}
}
