package web

import (
	"slices"
	"strings"

	"gaugerod/scheduler"
)

// lookToDraw is how far ahead of the week's end drawings are looked for, in days.
const lookToDraw = 28

// drawingEntry is one sheet in the list of all.
type drawingEntry struct {
	Title    Line
	Revision Line
	Next     Line // the first work by it that is not done
	Missing  bool // and no revision of it is out
	Edit     Part
}

// sheet is a drawing by the number that stands on the sheet.
func sheet(d *scheduler.Drawing) Part { return heavy(strings.ToUpper(string(d.ID)) + " " + d.Title) }

// counts says which revision of a drawing counts.
func (c clockwork) counts(d *scheduler.Drawing) Line {
	switch {
	case !d.Out():
		return say("no revision is out yet")
	case d.On == nil:
		return say("revision " + d.Revision + " counts")
	}
	return say("revision "+d.Revision+" counts, sent out on ", c.onDate(*d.On).is(statedDay))
}

// builtBy says by which drawings steps are done.
func (b *board) builtBy(steps ...scheduler.ID) []Line {
	var lines []Line
	for _, d := range b.Drawings().Of(steps...) {
		lines = append(lines, b.sheetLine(d))
	}
	return lines
}

// sheetLine is a drawing with the revision that counts.
func (c clockwork) sheetLine(d *scheduler.Drawing) Line { return say(sheet(d), ": ", c.counts(d), ".") }

// toDraw is the drawings that must be sent out soon: work by them comes, and no revision
// is out.
func (b *board) toDraw(w week) []dueEntry {
	var all []dueEntry
	for k, next := range b.NextByDrawing() {
		d := &b.Job.Drawings[k]
		if d.Out() || next == nil || !w.within(next.Start, lookToDraw) {
			continue
		}
		e := dueEntry{By: b.startOf(next), Late: next.Start.Before(b.begins), sort: next.Start}
		title := sheet(d)
		title.Href = b.changeOf("", "drawings", string(d.ID)).Href // where its revision is written down
		e.Says = say(title, ": ", b.counts(d), "; the first work by it is ", b.stepAt(next.ID), ".")
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(x, y dueEntry) int { return x.sort.Compare(y.sort) })
	return all
}

// drawingList is all drawings, those first of which no revision is out though work by
// them is still to come.
func (b *board) drawingList() []drawingEntry {
	var missing, others []drawingEntry
	for k, next := range b.NextByDrawing() {
		d := &b.Job.Drawings[k]
		e := drawingEntry{Title: say(sheet(d)), Revision: b.counts(d), Edit: b.changeOf("Change", "drawings", string(d.ID))}
		switch {
		case next == nil:
			e.Next = say("All work by it is done.")
		case next.State == scheduler.Underway:
			e.Next = say("Work goes on by it: ", b.stepAt(next.ID), ".")
		default:
			e.Next = say("Next by it: ", b.stepAt(next.ID), ", ", b.fromTo(next), ".")
		}
		if e.Missing = next != nil && !d.Out(); e.Missing {
			missing = append(missing, e)
		} else {
			others = append(others, e)
		}
	}
	return append(missing, others...)
}

// siteWord is something that those who come have to know of the site.
type siteWord struct{ About, Says string }

// siteWords is what is said of the site, as far as anything is.
func siteWords(s *scheduler.Site) []siteWord {
	all := []siteWord{
		{"Getting in", s.Access},
		{"Parking", s.Parking},
		{"Unloading", s.Unloading},
		{"Storing", s.Storage},
		{"Lifting", s.Lifting},
		{"Power and water", s.Power},
	}
	return slices.DeleteFunc(all, func(w siteWord) bool { return w.Says == "" })
}

// sentence is what is said of the site, ready to stand in a line.
func (w siteWord) sentence() Line {
	return say(heavy(w.About+": "), strings.TrimRight(w.Says, ".")+".")
}
