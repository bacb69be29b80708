package alert

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// on is a day as people say it, "Thu 21 May", with the year where it is not the
// year of as of.
func (v *view) on(d worktime.Date) string {
	text, known := v.days[d]
	if !known {
		layout := "Mon 2 Jan"
		if d.Format("2006") != v.today.Format("2006") {
			layout = "Mon 2 Jan 2006"
		}
		text = d.Format(layout)
		v.days[d] = text
	}
	return text
}

func (v *view) onTime(t time.Time) string { return v.on(v.date(t)) }

// onUnlike is a day, with the time where the other time lies on the same day.
func (v *view) onUnlike(t, other time.Time) string {
	if v.date(t) != v.date(other) {
		return v.onTime(t)
	}
	return v.onTime(t) + " at " + t.In(v.zone).Format("15:04")
}

// by is the day by whose end a time is reached.
func (v *view) by(t time.Time) string { return v.on(v.lastDate(t)) }

// step titles are quoted, because many are commands: “Strike the staging”.
func quote(title string) string { return "“" + title + "”" }

// called is the quoted title of a step, or its name where it has none.
func (v *view) called(id scheduler.ID) string {
	if k, ok := v.net.Find(id); ok && v.net.Steps[k].Title != "" {
		return quote(v.net.Steps[k].Title)
	}
	return quote(string(id))
}

func (v *view) place(id scheduler.ID) string {
	if p := v.places[id]; p != nil && p.Title != "" {
		return p.Title
	}
	return string(id)
}

func (v *view) trade(id scheduler.ID) string {
	if t := v.trades[id]; t != nil && t.Title != "" {
		return t.Title
	}
	return string(id)
}

// who is a person's or a trade's name, empty where nobody is named.
func (v *view) who(id scheduler.ID) string {
	if p := v.people[id]; p != nil && p.Name != "" {
		return p.Name
	}
	if id == "" {
		return ""
	}
	return v.trade(id)
}

// whoOr is who, or the words for nobody.
func (v *view) whoOr(id scheduler.ID, nobody string) string {
	if name := v.who(id); name != "" {
		return name
	}
	return nobody
}

// person and firm put a name where it belongs in an alert.
func (v *view) person(id scheduler.ID) []scheduler.ID {
	if v.people[id] != nil {
		return []scheduler.ID{id}
	}
	return nil
}

func (v *view) firm(id scheduler.ID) []scheduler.ID {
	if v.trades[id] != nil {
		return []scheduler.ID{id}
	}
	return nil
}

// amount is working minutes as people say them.
func (v *view) amount(minutes int64) string {
	if minutes < 0 {
		minutes = -minutes
	}
	switch {
	case minutes >= v.day:
		return count((minutes+v.day/2)/v.day, "working day")
	case minutes >= 60:
		return count((minutes+30)/60, "working hour")
	}
	return count(minutes, "minute")
}

// realAmount is real minutes as people say them.
func realAmount(minutes int64) string {
	switch {
	case minutes >= 2*24*60:
		return count((minutes+12*60)/(24*60), "day")
	case minutes >= 60:
		return count((minutes+30)/60, "hour")
	}
	return count(minutes, "minute")
}

// length is an amount in working or real time, as a span has it.
func (v *view) length(minutes int64, elapsed bool) string {
	if elapsed {
		return realAmount(minutes)
	}
	return v.amount(minutes)
}

func count(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// list joins words as a sentence does: a, b and c.
func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// some is a list of at most n words, and how many more there are.
func some(words []string, n int) string {
	if len(words) <= n {
		return list(words)
	}
	return strings.Join(words[:n], ", ") + " and " + strconv.Itoa(len(words)-n) + " more"
}

// someDays is the first of some days, and how many more there are.
func (v *view) someDays(days []worktime.Date) string {
	const most = 3
	words := make([]string, len(days))
	for k := range min(len(days), most) {
		words[k] = v.on(days[k])
	}
	return some(words, most)
}

// oneLine is a note without its line breaks.
func oneLine(note string) string { return strings.Join(strings.Fields(note), " ") }

// unique is the distinct IDs in order of name.
func unique(ids []scheduler.ID) []scheduler.ID {
	out := slices.Clone(ids)
	slices.Sort(out)
	return slices.Compact(out)
}

// cautioned defers to the licensed person where a step carries a caution.
func cautioned(remedy string, steps ...*scheduler.PlannedStep) string {
	for _, s := range steps {
		if s != nil && len(s.Cautions) > 0 {
			return remedy + " It carries a caution (" + cautions(s) + "): the licensed or authorised person and the local code decide."
		}
	}
	return remedy
}

func cautions(s *scheduler.PlannedStep) string {
	words := make([]string, len(s.Cautions))
	for k, c := range s.Cautions {
		words[k] = string(c)
	}
	return strings.Join(words, ", ")
}
