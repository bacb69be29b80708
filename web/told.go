package web

import (
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// told is a sentence of the planner about a step: its days are written as the reader
// writes them, and lead to what holds the step.
func (b *board) told(sentence string, step scheduler.ID) Line {
	var l Line
	end := 0
	for at := 0; at < len(sentence); at++ {
		d, n := b.readDay(sentence, at)
		if n == 0 {
			continue
		}
		if at > end {
			l = append(l, Part{Text: sentence[end:at]})
		}
		l = append(l, b.to(b.onDate(d), step, heldThere))
		end = at + n
		at = end - 1
	}
	if end < len(sentence) {
		l = append(l, Part{Text: sentence[end:]})
	}
	return l
}

// The days of the planner's sentences: "Mon 2 Jan 2006", and "Mon 2 Jan" of the year of the
// as-of day.
const fullDay = "Mon 2 Jan 2006"

// readDay reads a day that begins at a place of a sentence, and says how long it is
// written; 0 where none begins there. Sentences are many and their days few: what cannot
// be one is told by its first letters.
func (b *board) readDay(sentence string, at int) (d worktime.Date, n int) {
	s := sentence[at:]
	if len(s) < len("Mon 2 Jan") || s[3] != ' ' || !isDigit(s[4]) || s[0] < 'F' || s[0] > 'W' || at > 0 && isLetter(sentence[at-1]) {
		return 0, 0
	}
	n = len("Mon 2 Jan")
	if isDigit(s[5]) {
		n++
	}
	const year = len(" 2006")
	if len(s) >= n+year && isEnd(s, n+year) {
		if t, err := time.Parse(fullDay, s[:n+year]); err == nil {
			return worktime.DateOf(t), n + year
		}
	}
	if len(s) < n || !isEnd(s, n) {
		return 0, 0
	}
	t, err := time.Parse(fullDay, s[:n]+b.AsOf.Format(" 2006"))
	if err != nil {
		return 0, 0
	}
	return worktime.DateOf(t), n
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// isEnd says whether a word ends there.
func isEnd(s string, at int) bool { return at == len(s) || !isDigit(s[at]) && !isLetter(s[at]) }

// holding is one thing that holds a step on its days, as a sentence without its end.
func (b *board) holding(d *scheduler.Driver, step scheduler.ID) Line {
	about := step
	if b.steps[d.Step] != nil {
		about = d.Step
	}
	return b.told(d.Text, about)
}
