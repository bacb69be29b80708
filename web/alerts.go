package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
)

type alertsPage struct {
	Frame
	Groups []alertGroup
	Before string // the page with those before, empty: there are none
	After  string // the page with those after
	Left   string // how many these are
	Aside  []alertEntry
	People *choices
	Form   form
	Action string // where the form to set one aside goes, empty: the reader may not
	Back   string
}

// alertGroup is the alerts of one severity.
type alertGroup struct {
	Severity scheduler.Severity
	Title    string
	Means    string
	Alerts   []alertEntry
}

type alertEntry struct {
	Key, Mark string
	Kind      scheduler.AlertKind
	Severity  scheduler.Severity
	Sentence  Line
	Besides   []Line // statements that the sentence leaves out
	Remedy    Line
	Steps     []Part
	Ring      string // people and trades it concerns
	Aside     string
	Choose    string // the page with the form to set this one aside, empty: the reader may not
	Form      *form  // that form, where it was asked for or sent back
}

// chosenAlert is the parameter by which the page is asked for with the form to set an
// alert aside. Only one has it: with each the people of the job would be on the page as
// often as there are alerts.
const chosenAlert = "set-aside"

// fromAlert is the parameter that says from which alert on the page shows them, and
// alertsAtOnce how many.
const (
	fromAlert    = "from"
	alertsAtOnce = 100
)

func (alertsPage) name() string { return "alerts" }

var severityTitles = map[scheduler.Severity]string{
	scheduler.Grave: "Grave", scheduler.Act: "To act on", scheduler.Note: "Worth knowing",
}

var severityMeans = map[scheduler.Severity]string{
	scheduler.Grave: "Something is wrong now, or will be buried or missed.",
	scheduler.Act:   "Somebody must do something by a day.",
	scheduler.Note:  "Nothing has to be done at once.",
}

func (p *Pages) alerts(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	from, _ := strconv.Atoi(c.QueryParam(fromAlert)) // what is no number begins at the first
	chosen := form{values: map[string]string{"alert": c.QueryParam(chosenAlert)}}
	pg := newAlertsPage(b, from, chosen)
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

// newAlertsPage shows so many alerts from one on, or those among which the chosen one is.
func newAlertsPage(b *board, from int, in form) alertsPage {
	pg := alertsPage{
		Frame: b.frame("Alerts", "/alerts"), People: b.everybody(), Form: in,
	}
	if b.may("/alerts/aside") {
		pg.Action = b.link("/alerts/aside")
	}
	if b.may("/alerts/back") {
		pg.Back = b.link("/alerts/back")
	}
	all := b.openAlerts()
	if from < 0 || from >= len(all) {
		from = 0
	}
	if k := slices.IndexFunc(all, func(a *scheduler.Alert) bool { return a.Key == in.Value("alert") }); k >= 0 {
		from = k - k%alertsAtOnce
	}
	until := min(from+alertsAtOnce, len(all))
	if from > 0 {
		pg.Before = b.alertsWith(fromAlert, strconv.Itoa(max(0, from-alertsAtOnce)))
	}
	if until < len(all) {
		pg.After, pg.Left = b.alertsWith(fromAlert, strconv.Itoa(until)), number(len(all)-until, "more alert")
	}
	for _, a := range all[from:until] {
		if n := len(pg.Groups); n == 0 || pg.Groups[n-1].Severity != a.Severity {
			pg.Groups = append(pg.Groups, alertGroup{Severity: a.Severity, Title: severityTitles[a.Severity], Means: severityMeans[a.Severity]})
		}
		e := b.alert(a)
		switch {
		case pg.Action == "":
		case in.Value("alert") == a.Key:
			e.Form = &in
		default:
			e.Choose = b.alertsWith(chosenAlert, a.Key) + "#chosen"
		}
		group := &pg.Groups[len(pg.Groups)-1]
		group.Alerts = append(group.Alerts, e)
	}
	for k := range b.Plan.Alerts {
		if a := &b.Plan.Alerts[k]; a.Aside != "" {
			pg.Aside = append(pg.Aside, b.alert(a))
		}
	}
	return pg
}

// openAlerts is the alerts that nobody has set aside, the gravest first.
func (b *board) openAlerts() []*scheduler.Alert {
	var all []*scheduler.Alert
	for _, s := range scheduler.Severities {
		for k := range b.Plan.Alerts {
			if a := &b.Plan.Alerts[k]; a.Severity == s && a.Aside == "" {
				all = append(all, a)
			}
		}
	}
	return all
}

// alertsWith is the address of the page with a parameter.
func (b *board) alertsWith(name, value string) string {
	query := "?"
	if b.query != "" {
		query = b.query + "&"
	}
	return b.base + "/alerts" + query + name + "=" + strings.ReplaceAll(url.QueryEscape(value), "+", "%20")
}

func (b *board) alert(a *scheduler.Alert) alertEntry {
	about := scheduler.ID("")
	if len(a.Steps) > 0 {
		about = a.Steps[0]
	}
	e := alertEntry{Key: a.Key, Kind: a.Kind, Severity: a.Severity, Sentence: b.told(a.Sentence, about), Remedy: b.told(a.Remedy, about), Aside: a.Aside}
	if a.Kind == scheduler.Loop {
		e.Sentence, e.Besides = foldStatements(e.Sentence)
	}
	for k, id := range a.Steps {
		if k == 6 {
			e.Steps = append(e.Steps, Part{Text: number(len(a.Steps)-k, "more step")})
			break
		}
		e.Steps = append(e.Steps, b.step(id))
	}
	var ring []string
	for _, id := range append(append([]scheduler.ID{}, a.People...), a.Trades...) {
		ring = append(ring, b.who(id))
	}
	e.Ring = listed(ring)
	return e
}

// graveFirst is the grave alerts in full, and how many others there are.
func (b *board) graveFirst() (grave []alertEntry, others Line) {
	n := map[scheduler.Severity]int{}
	for k := range b.Plan.Alerts {
		a := &b.Plan.Alerts[k]
		if a.Aside != "" {
			continue
		}
		n[a.Severity]++
		if a.Severity == scheduler.Grave {
			grave = append(grave, b.alert(a))
		}
	}
	if n[scheduler.Act]+n[scheduler.Note] == 0 {
		return grave, nil
	}
	words := number(n[scheduler.Act], "alert") + " to act on and " + number(n[scheduler.Note], "note")
	return grave, say("Besides: ", Part{Text: words, Href: b.link("/alerts")}, ".")
}

func (b *board) graveAlerts() int {
	n := 0
	for k := range b.Plan.Alerts {
		if a := &b.Plan.Alerts[k]; a.Severity == scheduler.Grave && a.Aside == "" {
			n++
		}
	}
	return n
}

func (p *Pages) setAside(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	in := readForm(c, "alert", "by", "reason")
	aside := scheduler.Aside{
		Alert: in.Value("alert"), By: scheduler.ID(in.Value("by")), On: b.today(), Reason: in.Value("reason"),
	}
	err = p.apply(c, b, &in, func(j *scheduler.Job) error { return j.SetAside(aside) }, "/alerts", "aside")
	return p.orAgain(err, func(status int) error { return p.render(c, status, newAlertsPage(b, 0, in)) })
}

func (p *Pages) bringBack(c echo.Context) error {
	b, err := p.board(c)
	if err != nil {
		return err
	}
	in := readForm(c, "alert")
	key := in.Value("alert")
	err = p.apply(c, b, &in, func(j *scheduler.Job) error { return j.BringBack(key) }, "/alerts", "back")
	return p.orAgain(err, func(status int) error { return p.render(c, status, newAlertsPage(b, 0, in)) })
}
