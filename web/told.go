package web

import (
	"regexp"
	"strings"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// writtenDay is a day as the planner writes it into its sentences.
var writtenDay = regexp.MustCompile(`\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)(?: \d{4})?\b`)

// told is a sentence of the planner about a step: its days are written as the reader
// writes them, and lead to what holds the step.
func (b *board) told(sentence string, step scheduler.ID) Line {
	found := writtenDay.FindAllStringIndex(sentence, -1)
	l := make(Line, 0, 2*len(found)+1)
	end := 0
	for _, at := range found {
		d, ok := b.readDay(sentence[at[0]:at[1]])
		if !ok {
			continue
		}
		if at[0] > end {
			l = append(l, Part{Text: sentence[end:at[0]]})
		}
		l = append(l, b.to(b.onDate(d), step, heldThere))
		end = at[1]
	}
	if end < len(sentence) {
		l = append(l, Part{Text: sentence[end:]})
	}
	return l
}

// readDay reads a day of the planner's. One that says no year is of the year of the as-of
// day.
func (b *board) readDay(text string) (worktime.Date, bool) {
	layout := "Mon 2 Jan 2006"
	if strings.Count(text, " ") == 2 {
		text += b.AsOf.Format(" 2006")
	}
	t, err := time.Parse(layout, text)
	if err != nil {
		return 0, false
	}
	return worktime.DateOf(t), true
}

// holding is one thing that holds a step on its days, as a sentence without its end.
func (b *board) holding(d *scheduler.Driver, step scheduler.ID) Line {
	about := step
	if b.steps[d.Step] != nil {
		about = d.Step
	}
	return b.told(d.Text, about)
}
