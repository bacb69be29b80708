package web

import (
	"cmp"
	"fmt"
	"net/http"
	"strings"
	"time"

	"gaugerod/api/office"
	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// board is one sheet as somebody reads it: laid out, with the words for it. Pages are
// made from a board and change nothing in it.
type board struct {
	*laid
	now     time.Time
	visitor signin.Visitor
	query   string // "?as-of=2026-05-18" where a day was asked for, else empty

	trying *db.Trial // whose job it is; nil: it is the job itself
	tried  int64     // the revision of the job that the trial changes
	nearby bool      // the page lies beside those of the steps: days lead there by short addresses
	unkept bool      // the plan is only looked at: its steps have no pages
	newest int64     // the revision that the job is at: where it is a later one, its plan is in the making
}

func newBoard(sheet *office.Sheet, now time.Time, asked bool) (*board, error) {
	l, err := layOut(sheet)
	if err != nil {
		return nil, err
	}
	b := &board{laid: l, now: now.In(l.zone)}
	if asked {
		b.query = "?as-of=" + sheet.AsOf.String()
	}
	return b, nil
}

// stands is the revision of the job that the reader sees, with a trial's changes or
// without.
func (b *board) stands() int64 { return cmp.Or(b.tried, b.Revision) }

// may says whether the reader may send the form of a path below the job's, as the
// route is declared.
func (b *board) may(path string) bool {
	return rights.May(b.visitor, http.MethodPost, "/jobs/:job"+path)
}

// link is a path of this job, with the day that was asked for.
func (b *board) link(path string) string { return b.base + path + b.query }

// step is a step's title as a link to its page.
func (b *board) step(id scheduler.ID) Part {
	return Part{Text: b.stepTitle(id), Href: b.link("/steps/" + string(id))}
}

func (b *board) stepTitle(id scheduler.ID) string {
	s := b.steps[id]
	if s == nil || s.Title == "" {
		return string(id)
	}
	return s.Title
}

// stepAt is a step with its place, which tells instances of a typical apart.
func (b *board) stepAt(id scheduler.ID) Line {
	l := say(b.step(id))
	if s := b.steps[id]; s != nil && len(s.Places) > 0 {
		if where := b.placeNames(s.Places); !strings.HasSuffix(s.Title, " at "+where) {
			l = append(l, Part{Text: ", " + where})
		}
	}
	return l
}

func (b *board) trade(id scheduler.ID) Part {
	t := b.trades[id]
	if t == nil {
		return Part{Text: b.who(id)}
	}
	return Part{Text: t.Title, Href: b.link("/trades/" + string(id))}
}

// who is a person's or a trade's name.
func (b *board) who(id scheduler.ID) string {
	if p := b.people[id]; p != nil {
		return p.Name
	}
	if t := b.trades[id]; t != nil {
		return t.Title
	}
	return string(id)
}

func (b *board) place(id scheduler.ID) string {
	if p := b.places[id]; p != nil {
		return p.Title
	}
	return string(id)
}

// placeNames lists places, at most three by name.
func (b *board) placeNames(ids []scheduler.ID) string {
	const most = 3
	var names []string
	for k, id := range ids {
		if k == most {
			names = append(names, fmt.Sprintf("%d more", len(ids)-most))
			break
		}
		names = append(names, b.place(id))
	}
	return listed(names)
}

func (b *board) tradeNames(ids []scheduler.ID) Line {
	var lines []Line
	for _, id := range ids {
		lines = append(lines, say(b.trade(id)))
	}
	return together(lines)
}

// hatch is the number of a trade's hatching: its place in the job.
func (b *board) hatch(id scheduler.ID) int {
	if n, ok := b.hatchOf[id]; ok {
		return n
	}
	return len(b.Job.Trades)
}

// short is a trade's letters.
func (b *board) short(id scheduler.ID) string {
	if t := b.trades[id]; t != nil && t.Short != "" {
		return t.Short
	}
	return ""
}

// done says whether nothing is left of a step.
func (b *board) done(id scheduler.ID) bool {
	s := b.steps[id]
	return s != nil && s.State == scheduler.Complete
}

// today is the civil day on which the page is read.
func (b *board) today() worktime.Date { return b.civil(b.now) }
