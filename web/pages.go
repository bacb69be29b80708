package web

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/attach"
	"gaugerod/api/office"
	"gaugerod/api/people"
	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
	"gaugerod/web/fill"
)

//go:embed templates static style
var files embed.FS

// page is what a template is filled with. Its name is that of the template.
type page interface{ name() string }

// allPages is every page there is; one without a template, or a template without
// a page, fails at the start.
var allPages = []page{
	alertsPage{},
	beginPage{},
	editListPage{},
	editPage{},
	errorPage{},
	historyPage{},
	issuedPage{},
	jobsPage{},
	layerOrderPage{},
	layersPage{},
	minePage{},
	modelPage{},
	newJobPage{},
	oddsPage{},
	ordersPage{},
	peoplePage{},
	piecePage{},
	placesPage{},
	stepPage{},
	tradePage{},
	tradesPage{},
	trialPage{},
	trialsPage{},
	visitsPage{},
	flowPage{},
	weekPage{},
	wordsPage{},
	wouldPage{},
	youPage{},
}

// shared are the templates that others are made of.
var shared = []string{"ask.html", "frame.html", "parts.html"}

// Pages answers requests for pages. It is safe for many goroutines.
type Pages struct {
	office    *office.Office
	people    *people.Desk
	now       func() time.Time
	box       *attach.Box
	templates map[string]*fill.Template
	texts     sync.Pool // *[]byte to write pages into
	loaded    loaded
	style     string // the style sheet's address, which changes with its content
	script    string // the script's, likewise
}

// Options says what pages need from their surroundings.
type Options struct {
	Now    func() time.Time // the clock that "today" is read from
	People *people.Desk     // nil: there are no seats and links to show
	Box    *attach.Box      // where attachments are; nil: nothing can be attached
}

// New parses every template.
func New(o *office.Office, options Options) (*Pages, error) {
	p := &Pages{office: o, people: options.People, now: options.Now, box: options.Box, templates: map[string]*fill.Template{}}
	if p.now == nil {
		return nil, fmt.Errorf("web: pages need a clock")
	}
	var err error
	if p.loaded, err = readLoaded(); err != nil {
		return nil, err
	}
	p.style, p.script = p.loaded.address("style.css"), p.loaded.address("live.js")
	return p, p.parse()
}

func (p *Pages) parse() error {
	funcs := template.FuncMap{"style": func() string { return p.style }, "script": func() string { return p.script }, "file": p.loaded.address}
	maps.Copy(funcs, formParts)
	base := template.New("").Funcs(funcs)
	for _, name := range shared {
		if _, err := base.ParseFS(files, "templates/"+name); err != nil {
			return err
		}
	}
	for _, pg := range allPages {
		t, err := template.Must(base.Clone()).ParseFS(files, "templates/"+pg.name()+".html")
		if err != nil {
			return err
		}
		outer := "frame"
		if pg.name() == (piecePage{}).name() {
			outer = "content" // it is put into a page
		}
		if p.templates[pg.name()], err = fill.New(t, outer, reflect.New(reflect.TypeOf(pg)).Interface(), funcs); err != nil {
			return fmt.Errorf("page %s: %w", pg.name(), err)
		}
	}
	written, err := fs.Glob(files, "templates/*.html")
	if err != nil {
		return err
	}
	for _, path := range written {
		name := strings.TrimPrefix(path, "templates/")
		if !slices.Contains(shared, name) && p.templates[strings.TrimSuffix(name, ".html")] == nil {
			return fmt.Errorf("web: template %s belongs to no page", name)
		}
	}
	return nil
}

// policy lets a page load its own style, script and picture and ask this service, and
// nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// render fills a page, which nobody keeps.
func (p *Pages) render(c echo.Context, status int, pg page) error {
	c.Response().Header().Set("Cache-Control", "no-store")
	return p.fill(c, status, pg.name(), withMe(c, pg))
}

// fill fills a template into a buffer, so that nothing is sent of one that fails.
func (p *Pages) fill(c echo.Context, status int, name string, with any) error {
	text, ok := p.texts.Get().(*[]byte)
	if !ok {
		text = new([]byte)
	}
	defer p.texts.Put(text)
	var err error
	if *text, err = p.templates[name].Append((*text)[:0], with); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	h := c.Response().Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set(echo.HeaderContentLength, strconv.Itoa(len(*text))) // else it is sent in one more piece
	return c.HTMLBlob(status, *text)
}

// board is the sheet that a request is about, as of the day it asks for.
func (p *Pages) board(c echo.Context) (*board, error) {
	asOf, err := askedDay(c)
	if err != nil {
		return nil, err
	}
	sheet, newest, err := p.sheetFor(c, scheduler.ID(c.Param("job")), asOf)
	if err != nil {
		return nil, err
	}
	b, err := p.boardOf(c, sheet, asOf != nil)
	if err != nil {
		return nil, err
	}
	b.newest = newest
	return b, nil
}

// sheetFor is the sheet of a job: what is at hand for who reads, and the newest, however long it
// takes, for who changes something.
func (p *Pages) sheetFor(c echo.Context, job scheduler.ID, asOf *worktime.Date) (sheet *office.Sheet, newest int64, err error) {
	if c.Request().Method == http.MethodGet {
		return p.office.AtHand(c.Request().Context(), job, asOf)
	}
	if sheet, err = p.office.Sheet(c.Request().Context(), job, asOf); err != nil {
		return nil, 0, err
	}
	return sheet, sheet.Revision, nil
}

// boardOf is a sheet as the one who asks reads it.
func (p *Pages) boardOf(c echo.Context, sheet *office.Sheet, asked bool) (*board, error) {
	b, err := newBoard(sheet, p.now(), asked)
	if err != nil {
		return nil, err
	}
	b.visitor = signin.From(c.Request().Context())
	return b, nil
}

// askedDay is the day of ?as-of=, nil where none is asked for.
func askedDay(c echo.Context) (*worktime.Date, error) {
	text := c.QueryParam("as-of")
	if text == "" {
		return nil, nil
	}
	d, err := worktime.ParseDate(text)
	if err != nil {
		return nil, echo.NewHTTPError(http.StatusBadRequest, err.Error())
	}
	return &d, nil
}

// Style is the address of the style sheet, for pages made elsewhere.
func (p *Pages) Style() string { return p.style }
