package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
	"gaugerod/scheduler/worktime"
)

// modelPage is the way into the job's model: how much there is of what, and what is
// still missing.
type modelPage struct {
	Frame
	Site    string
	Begin   string
	Kinds   []kindEntry
	Missing []Line
	Trial   Part // in which it is changed; empty: in the job itself
}

type kindEntry struct {
	Title, Says, Href, Add string
	Count                  int
}

func (modelPage) name() string { return "model" }

// editListPage is the things of one kind.
type editListPage struct {
	Frame
	Says, Here, Query, Add string
	AsOf                   string
	All                    []editEntry
	Found, Of              int
	Next                   string
	Order                  string // what the order means, where it can be changed here
	From                   int
	Revision               int64
	Back, Trial            Part
}

type editEntry struct {
	Title, Says Line
	Name, Href  string
	Up, Down    bool   // it can be moved so
	Focus       string // the way in which it was just moved
}

func (editListPage) name() string { return "editlist" }

func (p *Pages) model(c echo.Context) error {
	b, err := p.boardToEdit(c)
	if err != nil {
		return p.orToTrial(c, err)
	}
	pg := modelPage{Frame: b.frame("The job", b.tab()), Trial: b.trialPart()}
	if b.mayChange(&siteKind) {
		pg.Site = b.link(b.address(&siteKind, "itself"))
	}
	if b.trying == nil {
		pg.Missing = b.missing()
		if pg.Site != "" {
			pg.Begin = b.link("/begin")
		}
	}
	for k := range kinds {
		kind := &kinds[k]
		e := kindEntry{Title: kind.many, Says: kind.says, Href: b.link(b.within() + "/edit/" + kind.section), Count: jobfile.Count(b.Job, kind.section)}
		if b.mayChange(kind) {
			e.Add = b.link(b.address(kind, newThing))
		}
		pg.Kinds = append(pg.Kinds, e)
	}
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

func (b *board) mayChange(k *kindOf) bool {
	switch {
	case b.trying != nil:
		return b.may("/trials/:trial/edit/:kind/:thing")
	case k.design():
		return b.may("/design/:kind/:thing")
	}
	return b.may("/edit/:kind/:thing")
}

// mostMissing is how many things of a sort are named before the rest is counted.
const mostMissing = 8

// missing is what the job does not say yet, in sentences.
func (b *board) missing() []Line {
	var lines []Line
	for _, c := range []struct {
		n    int
		says string
	}{
		{len(b.Job.People), "Nobody is on the job yet: add the people who decide, release and are told."},
		{len(b.Job.Trades), "There is no trade yet."},
		{len(b.Job.Places), "There is no place yet."},
		{len(b.Job.Tasks) + len(b.Job.Typicals), "There is no work yet: add a task, or begin with typicals."},
	} {
		if c.n == 0 {
			lines = append(lines, say(c.says))
		}
	}
	var noTrade, noPlace []Part
	for k := range b.Job.Tasks {
		t := &b.Job.Tasks[k]
		at := Part{Text: t.Title, Href: b.link("/steps/" + string(t.ID))}
		if len(t.Trades) == 0 {
			noTrade = append(noTrade, at)
		}
		if len(t.Places) == 0 {
			noPlace = append(noPlace, at)
		}
	}
	var loose []Part
	followed := map[scheduler.ID]bool{}
	for k := range b.Plan.Waits {
		followed[b.Plan.Waits[k].FromID] = true
	}
	for k := range b.Plan.Steps {
		if s := &b.Plan.Steps[k]; !followed[s.ID] {
			loose = append(loose, b.step(s.ID))
		}
	}
	add := func(words string, all []Part) {
		if len(all) == 0 {
			return
		}
		l := say(words + " ")
		for k, p := range all[:min(len(all), mostMissing)] {
			if k > 0 {
				l = append(l, say(", ")...)
			}
			l = append(l, p)
		}
		if n := len(all) - mostMissing; n > 0 {
			l = append(l, say(" and "+strconv.Itoa(n)+" more")...)
		}
		lines = append(lines, append(l, say(".")...))
	}
	add("No trade does:", noTrade)
	add("No place is given for:", noPlace)
	if len(loose) > 1 { // the last step of a job is one
		add("Nothing comes after:", loose)
	}
	return lines
}

// mostListed is how many things a page lists.
const mostListed = 150

func (p *Pages) editList(c echo.Context) error {
	b, err := p.boardToEdit(c)
	if err != nil {
		return p.orToTrial(c, err)
	}
	kind := findKind(kinds, c.Param("kind"))
	if kind == nil {
		return scheduler.ErrNotFound
	}
	pg := editListPage{
		Frame: b.frame(kind.many, b.tab()), Says: kind.says, Here: b.base + b.within() + "/edit/" + kind.section, Query: strings.TrimSpace(c.QueryParam("q")),
		AsOf: c.QueryParam("as-of"), Back: Part{Text: "The job", Href: b.link(b.within() + "/edit")}, Trial: b.trialPart(),
	}
	at := ""
	if b.mayChange(kind) {
		at, pg.Add = b.address(kind, ""), b.link(b.address(kind, newThing))
	}
	pg.Of = jobfile.Count(b.Job, kind.section)
	from, err := strconv.Atoi(c.QueryParam("from"))
	if err != nil {
		from = 0
	}
	if words := strings.Fields(strings.ToLower(pg.Query)); len(words) > 0 {
		var found []editEntry
		for _, e := range b.entries(jobfile.Part(b.Job, kind.section, 0, pg.Of), at) {
			if containsAll(strings.ToLower(e.Title.Text()+" "+e.Name+" "+e.Says.Text()), words) {
				found = append(found, e)
			}
		}
		from, pg.Found = within(from, len(found)), len(found)
		pg.All = found[from:min(from+mostListed, len(found))]
	} else {
		from, pg.Found = within(from, pg.Of), pg.Of
		to := min(from+mostListed, pg.Of)
		pg.All = b.entries(jobfile.Part(b.Job, kind.section, from, to), at)
		if at != "" && pg.Of > 1 && kind.order != "" && b.trying == nil {
			pg.Order, pg.From, pg.Revision = kind.order, from, b.Revision
			orderOf(c, pg.All, from == 0, to == pg.Of)
		}
	}
	if next := from + mostListed; next < pg.Found {
		q := url.Values{"from": {strconv.Itoa(next)}}
		for key, value := range map[string]string{"q": pg.Query, "as-of": pg.AsOf} {
			if value != "" {
				q.Set(key, value)
			}
		}
		pg.Next = pg.Here + "?" + q.Encode()
	}
	pg.say(c, b)
	return p.render(c, http.StatusOK, pg)
}

// within is a place in a list of so many, the first where it is none.
func within(from, many int) int {
	if from < 0 || from > many {
		return 0
	}
	return from
}

// called is a word under a key of a thing as people say it: days as the reader writes
// them, things by their titles.
func (b *board) called(key, word string) Part {
	if d, err := worktime.ParseDate(word); err == nil {
		return b.onDate(d).is(statedDay)
	}
	id := scheduler.ID(word)
	switch trial.NamedUnder(key) {
	case scheduler.TradeName:
		word = b.who(id)
	case scheduler.PlaceName:
		word = b.place(id)
	case scheduler.GearName:
		if g := b.gear[id]; g != nil {
			word = g.Title
		}
	case scheduler.TaskName:
		word = b.stepTitle(id)
	}
	return Part{Text: word}
}

func containsAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// entries lists the things of a section; at is what their addresses begin with, empty:
// they cannot be changed.
func (b *board) entries(section jobfile.Value, at string) []editEntry {
	var all []editEntry
	add := func(name, last string, v jobfile.Value) {
		e := editEntry{Title: say(v.Title()), Name: name, Says: b.summary(v)}
		if len(e.Title) == 0 {
			e.Title, e.Says = e.Says, nil
		}
		if at != "" {
			e.Href = b.link(at + url.PathEscape(last))
		}
		all = append(all, e)
	}
	for _, e := range section.Keys {
		add(e.Key, e.Key, e.Value)
	}
	for k := range section.List {
		add("", section.List[k].Mark(), section.List[k])
	}
	return all
}

// summary is what a thing says besides its title, on a line.
func (b *board) summary(v jobfile.Value) Line {
	const most = 160
	var says Line
	left := most
	for _, r := range v.Says() {
		p := Part{Text: r.Word}
		if r.Key != "" {
			p = b.called(r.Key, r.Word)
		}
		if left -= len(p.Text); left < 0 {
			return append(says, Part{Text: "…"})
		}
		says = append(says, p)
	}
	return says
}
