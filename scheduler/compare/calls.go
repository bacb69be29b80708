package compare

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Call is one person or firm to be told, and of what.
type Call struct {
	Who      scheduler.ID   `json:"who"`
	Name     string         `json:"name"`
	People   []scheduler.ID `json:"people,omitempty"` // of the firm
	First    worktime.Date  `json:"first"`            // the soonest day that it concerns
	Lines    []CallLine     `json:"lines"`            // the soonest first
	Sentence string         `json:"sentence"`         // ready to be said
}

// CallLine is one thing to be told.
type CallLine struct {
	About  About         `json:"about"`
	ID     string        `json:"id"` // of the window, hold point or order
	Title  string        `json:"title"`
	Change Change        `json:"change"`
	Was    *Stretch      `json:"was,omitempty"`
	Is     *Stretch      `json:"is,omitempty"`
	First  worktime.Date `json:"first"`
	Text   string        `json:"text"`
}

// About is what kind of thing a line tells of.
type About string

// The kinds of things.
const (
	OfWindow   About = "window"
	OfHold     About = "hold point"
	OfOrder    About = "order"    // when it is to be placed
	OfDelivery About = "delivery" // when it comes
)

// spoken is how many things one sentence tells; the others are counted.
const spoken = 4

// calls is who must be told of what has moved: whom it concerns soonest first. That
// day is the earlier of the old and the new one that is not past as of the later plan,
// because it is the day for which somebody may now set out in vain or come too late.
func calls(c *Comparison, job *scheduler.Job) []Call {
	b := &callBook{job: job, today: c.AsOf, at: map[scheduler.ID]int{}, list: make([]Call, 0), places: make(map[scheduler.ID]string, len(job.Places))}
	for k := range job.Places {
		b.places[job.Places[k].ID] = job.Places[k].Title
	}
	for k := range c.Windows {
		b.window(&c.Windows[k])
	}
	for k := range c.Holds {
		b.hold(&c.Holds[k])
	}
	for k := range c.Orders {
		b.order(&c.Orders[k])
	}
	for k := range b.list {
		b.finish(&b.list[k])
	}
	slices.SortStableFunc(b.list, func(x, y Call) int { return cmp.Or(cmp.Compare(x.First, y.First), cmp.Compare(x.Who, y.Who)) })
	return b.list
}

// callBook gathers lines by who must be told.
type callBook struct {
	job   *scheduler.Job
	today worktime.Date
	at    map[scheduler.ID]int
	list  []Call

	places map[scheduler.ID]string // their titles
}

func (b *callBook) add(who scheduler.ID, l CallLine) {
	if who == "" {
		return // nobody is named
	}
	l.First = b.today
	days := make([]worktime.Date, 0, 2)
	for _, s := range []*Stretch{l.Was, l.Is} {
		if s != nil && s.From >= b.today {
			days = append(days, s.From)
		}
	}
	if len(days) > 0 {
		l.First = slices.Min(days)
	}
	k, ok := b.at[who]
	if !ok {
		k = len(b.list)
		b.at[who] = k
		b.list = append(b.list, Call{Who: who, Name: b.name(who), People: b.job.PeopleOf(who)})
	}
	b.list[k].Lines = append(b.list[k].Lines, l)
}

func (b *callBook) window(w *WindowMove) {
	l := CallLine{About: OfWindow, ID: w.Window, Title: b.place(w.Place), Change: w.Change, Was: w.Was, Is: w.Is}
	switch {
	case w.Change == New:
		l.Text = fmt.Sprintf("%s is new, %s", l.Title, b.stretch(w.Is))
	case w.Change == Gone:
		l.Text = fmt.Sprintf("%s, which was planned %s, is no longer needed", l.Title, b.stretch(w.Was))
	case w.Begun:
		l.Text = fmt.Sprintf("%s is planned until %s instead of %s", l.Title, b.on(w.Is.Until), b.on(w.Was.Until))
	default:
		l.Text = fmt.Sprintf("%s moves from %s to %s", l.Title, b.run(w.Was), b.run(w.Is))
	}
	b.add(w.Trade, l)
}

func (b *callBook) hold(h *HoldMove) {
	l := CallLine{About: OfHold, ID: string(h.ID), Title: h.Title, Change: h.Change, Was: single(h.Was), Is: single(h.Is)}
	l.Text = b.dayText("“"+h.Title+"”", "is new", h.Was, h.Is)
	b.add(h.By, l)
}

func (b *callBook) order(o *OrderMove) {
	if !o.Placed && (o.OrderWas == nil || o.OrderIs == nil || *o.OrderWas != *o.OrderIs) {
		b.add(o.Supplier, CallLine{
			About: OfOrder, ID: string(o.ID), Title: o.Title, Change: o.Change, Was: single(o.OrderWas), Is: single(o.OrderIs),
			Text: b.dayText("the order of “"+o.Title+"”", "is new", o.OrderWas, o.OrderIs),
		})
	}
	if o.DeliveryWas == nil || o.DeliveryIs == nil || *o.DeliveryWas != *o.DeliveryIs {
		b.add(o.Supplier, CallLine{
			About: OfDelivery, ID: string(o.ID), Title: o.Title, Change: o.Change, Was: single(o.DeliveryWas), Is: single(o.DeliveryIs),
			Text: b.dayText("the delivery of “"+o.Title+"”", "is new", o.DeliveryWas, o.DeliveryIs),
		})
	}
}

// dayText says of one day that it moves, comes or goes.
func (b *callBook) dayText(what, new string, was, is *worktime.Date) string {
	switch {
	case was == nil:
		return fmt.Sprintf("%s %s, on %s", what, new, b.on(*is))
	case is == nil:
		return fmt.Sprintf("%s, which was planned on %s, is no longer needed", what, b.on(*was))
	case *was == *is:
		return fmt.Sprintf("%s stays on %s and is now yours", what, b.on(*is))
	}
	return fmt.Sprintf("%s moves from %s to %s", what, b.on(*was), b.on(*is))
}

func single(d *worktime.Date) *Stretch {
	if d == nil {
		return nil
	}
	return &Stretch{*d, *d}
}

// finish puts the lines of a call in order and writes its sentence.
func (b *callBook) finish(c *Call) {
	slices.SortStableFunc(c.Lines, func(x, y CallLine) int { return cmp.Compare(x.First, y.First) })
	c.First = c.Lines[0].First
	texts := make([]string, 0, spoken+1)
	for k, l := range c.Lines {
		if k == spoken {
			texts = append(texts, fmt.Sprintf("and %d more", len(c.Lines)-spoken))
			break
		}
		texts = append(texts, l.Text)
	}
	c.Sentence = c.Name + ": " + strings.Join(texts, "; ") + "."
}

// on is a day as people say it, with the year where it is not the year of as of.
func (b *callBook) on(d worktime.Date) string {
	if d.Format("2006") != b.today.Format("2006") {
		return d.Format("Mon 2 Jan 2006")
	}
	return d.Format("Mon 2 Jan")
}

// run is a run of days between commas or words: "Mon 4 May – Wed 6 May".
func (b *callBook) run(s *Stretch) string {
	if s.From == s.Until {
		return b.on(s.From)
	}
	return b.on(s.From) + " – " + b.on(s.Until)
}

// stretch is a run of days in a sentence.
func (b *callBook) stretch(s *Stretch) string {
	if s.From == s.Until {
		return "on " + b.on(s.From)
	}
	return "from " + b.on(s.From) + " to " + b.on(s.Until)
}

func (b *callBook) name(id scheduler.ID) string {
	for k := range b.job.Trades {
		if t := &b.job.Trades[k]; t.ID == id && t.Title != "" {
			return t.Title
		}
	}
	for k := range b.job.People {
		if p := &b.job.People[k]; p.ID == id && p.Name != "" {
			return p.Name
		}
	}
	return string(id)
}

func (b *callBook) place(id scheduler.ID) string {
	if title := b.places[id]; title != "" {
		return title
	}
	return string(id)
}
