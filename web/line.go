package web

import (
	"strings"
	"time"

	"gaugerod/scheduler/worktime"
)

// Part is a run of words in a line: plain, a link, or a day. An empty Href or Day
// means that it is none.
type Part struct {
	Text  string
	Href  string
	Day   string // ISO day
	Heavy bool
	Given given // what a day is that was not worked out; it has no Href
}

// Line is a sentence made of parts.
type Line []Part

// say makes a line of strings, links (Part), days and other lines.
func say(parts ...any) Line {
	n := 0
	for _, p := range parts {
		if line, ok := p.(Line); ok {
			n += len(line)
		} else {
			n++
		}
	}
	l := make(Line, 0, n)
	for _, p := range parts {
		switch v := p.(type) {
		case string:
			if v != "" {
				l = append(l, Part{Text: v})
			}
		case Part:
			l = append(l, v)
		case Line:
			l = append(l, v...)
		default:
			panic("web: a part of a line that is neither words nor a link")
		}
	}
	return l
}

// together joins lines as a sentence does: "a, b and c".
func together(lines []Line) Line {
	n := 0
	for _, line := range lines {
		n += 1 + len(line)
	}
	l := make(Line, 0, n)
	for k, line := range lines {
		switch {
		case k == 0:
		case k == len(lines)-1:
			l = append(l, Part{Text: " and "})
		default:
			l = append(l, Part{Text: ", "})
		}
		l = append(l, line...)
	}
	return l
}

// Text is the line without its links.
func (l Line) Text() string {
	if len(l) == 1 {
		return l[0].Text
	}
	var s strings.Builder
	for _, p := range l {
		s.WriteString(p.Text)
	}
	return s.String()
}

// heavy are words that carry the line.
func heavy(text string) Part { return Part{Text: text, Heavy: true} }

// on is the day of a time, as a part of a line.
func (c clockwork) on(t time.Time) Part { return c.onDate(c.civil(t)) }

// onEnd is the day that a time ends.
func (c clockwork) onEnd(t time.Time) Part { return c.onDate(c.civilEnd(t)) }

// stay is a run of time in civil days: "Thu 21 May to Fri 22 May", or the one day.
func (c clockwork) stay(from, until time.Time) Line {
	if c.civil(from) == c.civilEnd(until) {
		return say(c.on(from))
	}
	return say(c.on(from), " to ", c.onEnd(until))
}

func (c clockwork) onDate(d worktime.Date) Part {
	if c.book != nil {
		day := c.book.day(d)
		return Part{Text: day.words, Day: day.number}
	}
	return Part{Text: c.date(d), Day: d.String()}
}

// at is the day and the time of day.
func (c clockwork) at(t time.Time) Part {
	return Part{Text: c.timed(t), Day: c.civil(t).String()}
}

func (c clockwork) atEnd(t time.Time) Part {
	return Part{Text: c.timedEnd(t), Day: c.civilEnd(t).String()}
}
