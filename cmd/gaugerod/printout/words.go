package printout

import (
	"fmt"
	"strings"
	"time"

	"gaugerod/scheduler"
)

// words turns names, moments and minutes into what people say.
type words struct {
	titles     map[scheduler.ID]string
	year       int
	dayMinutes int64
}

func newWords(job *scheduler.Job, plan *scheduler.Plan) words {
	w := words{titles: make(map[scheduler.ID]string), year: plan.AsOf.Year(), dayMinutes: max(plan.DayMinutes, 1)}
	for k := range job.People {
		w.titles[job.People[k].ID] = job.People[k].Name
	}
	for k := range job.Trades {
		w.titles[job.Trades[k].ID] = job.Trades[k].Title
	}
	for k := range job.Places {
		w.titles[job.Places[k].ID] = job.Places[k].Title
	}
	return w
}

// name is the title of a trade, place or person.
func (w words) name(id scheduler.ID) string {
	if t := w.titles[id]; t != "" {
		return t
	}
	return string(id)
}

func (w words) names(ids []scheduler.ID) string {
	all := make([]string, len(ids))
	for k, id := range ids {
		all[k] = w.name(id)
	}
	return strings.Join(all, ", ")
}

// day is the day of a moment; midnight belongs to the day that it ends where a
// finish is meant.
func (w words) day(t time.Time) string {
	if t.Year() != w.year {
		return t.Format("Mon 2 Jan 2006")
	}
	return t.Format("Mon 2 Jan")
}

func (w words) endDay(t time.Time) string { return w.day(endOf(t)) }

// endOf moves a moment at midnight to the day that it ends.
func endOf(t time.Time) time.Time {
	if t.Hour() == 0 && t.Minute() == 0 {
		return t.Add(-time.Minute)
	}
	return t
}

// starts is a day and time, for something that begins.
func (w words) starts(t time.Time) string { return w.day(t) + t.Format(" 15:04") }

// ends is a day and time, for something that ends: midnight is 24:00.
func (w words) ends(t time.Time) string {
	if e := endOf(t); !e.Equal(t) {
		return w.day(e) + " 24:00"
	}
	return w.starts(t)
}

// span is from when to when; a moment has no end of its own.
func (w words) span(from, to time.Time) string {
	if from.Equal(to) {
		return w.starts(from)
	}
	return w.starts(from) + " to " + w.ends(to)
}

// length is an amount of working minutes: "3 days 4 h".
func (w words) length(minutes int64) string { return length(minutes, w.dayMinutes) }

func length(minutes, dayMinutes int64) string {
	if minutes == 0 {
		return "none"
	}
	var parts []string
	if days := minutes / dayMinutes; days > 0 {
		parts = append(parts, count(days, "day"))
	}
	rest := minutes % dayMinutes
	// Hours beside weeks, and minutes beside days, are more than anybody asks for.
	if hours := rest / 60; hours > 0 && minutes < 10*dayMinutes {
		parts = append(parts, fmt.Sprintf("%d h", hours))
	}
	if m := rest % 60; m > 0 && minutes < dayMinutes {
		parts = append(parts, fmt.Sprintf("%d min", m))
	}
	return strings.Join(parts, " ")
}

// margin is how much there is to spare, in words.
func (w words) margin(minutes int64) string {
	switch {
	case minutes < 0:
		return w.length(-minutes) + " too late"
	case minutes == 0:
		return "none"
	}
	return w.length(minutes)
}

// days is the days of a visit.
func (w words) days(from, until time.Time) string {
	first, last := w.day(from), w.endDay(until)
	if first == last {
		return first
	}
	return first + " to " + last
}

// slack is a step's room to move, in its own time.
func (w words) slack(s *scheduler.PlannedStep) string {
	day := w.dayMinutes
	if s.Elapsed {
		day = 24 * 60
	}
	if s.Slack < 0 {
		return length(-s.Slack, day) + " short"
	}
	return length(s.Slack, day)
}

func count(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// some is the first few of a list and how many more there are.
func some(texts []string, most int) string {
	if len(texts) <= most {
		return strings.Join(texts, "; ")
	}
	return fmt.Sprintf("%s; and %d more", strings.Join(texts[:most], "; "), len(texts)-most)
}
