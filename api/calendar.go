package api

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"gaugerod/api/office"
	"gaugerod/scheduler"
)

const calendarType = "text/calendar; charset=utf-8"

type calendarAnswer struct {
	ETag         string `header:"ETag"`
	CacheControl string `header:"Cache-Control"`
	ContentType  string `header:"Content-Type"`
	Body         []byte
}

func (s *Server) calendarRoutes() {
	register(s, route{
		id: "trade-calendar", method: http.MethodGet, path: "/jobs/{job}/trades/{trade}/calendar",
		summary: "A trade's windows of access as a calendar (iCalendar, RFC 5545)",
		also:    answersCalendar,
	}, s.getCalendar)
}

func (s *Server) getCalendar(ctx context.Context, in *struct {
	PlanQuery
	TradePath
},
) (*calendarAnswer, error) {
	a, err := answerPlan(ctx, s, &in.PlanQuery, func(sheet *office.Sheet, _ Standing) ([]byte, error) {
		trade, err := findTrade(sheet.Job, in.Trade)
		if err != nil {
			return nil, err
		}
		return s.calendar(ctx, sheet, trade)
	})
	if err != nil {
		return nil, err
	}
	return &calendarAnswer{ETag: a.ETag, CacheControl: a.CacheControl, ContentType: calendarType, Body: a.Body}, nil
}

// calendar has one event for each window of a trade, and one that is cancelled for
// each that has vanished while it lay ahead. Its times are by the clocks of the job's
// zone, which it tells (addZone). What an event is called and how it counts is kept from
// one calendar to the next (office.Calendar).
func (s *Server) calendar(ctx context.Context, sheet *office.Sheet, trade scheduler.Trade) ([]byte, error) {
	titles := placeTitles(sheet.Job)
	events, err := s.office.Calendar(ctx, sheet, trade.ID, func(w scheduler.Window) (summary, words string) {
		return trade.Title + ", " + titles[w.Place], windowWords(sheet.Plan, w)
	})
	if err != nil {
		return nil, err
	}
	cal := ics.NewCalendarFor("Gaugerod")
	cal.SetMethod(ics.MethodPublish)
	name := trade.Title + ": " + sheet.Job.Title
	cal.SetName(name)
	cal.SetXWRCalName(name)
	cal.SetRefreshInterval("PT1H", ics.WithValue(string(ics.ValueDataTypeDuration)))
	zone, err := time.LoadLocation(sheet.Job.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone of job %s: %w", sheet.Job.ID, err)
	}
	var first, last time.Time
	for _, w := range events {
		if first.IsZero() || w.From.Before(first) {
			first = w.From
		}
		if w.Until.After(last) {
			last = w.Until
		}
	}
	in := addZone(cal, zone, first, last)
	for _, w := range events {
		event := cal.AddEvent(w.UID)
		event.SetDtStampTime(w.ChangedAt)
		event.SetModifiedAt(w.ChangedAt)
		event.SetSequence(w.Sequence)
		in.set(event, ics.ComponentPropertyDtStart, w.From)
		in.set(event, ics.ComponentPropertyDtEnd, w.Until)
		event.SetSummary(w.Summary)
		event.SetLocation(titles[w.Place])
		event.SetDescription(w.Words)
		if w.Cancelled {
			event.SetStatus(ics.ObjectStatusCancelled)
		}
	}
	return []byte(cal.Serialize(ics.WithNewLineWindows)), nil
}

func placeTitles(j *scheduler.Job) map[scheduler.ID]string {
	titles := make(map[scheduler.ID]string, len(j.Places))
	for _, p := range j.Places {
		titles[p.ID] = p.Title
	}
	return titles
}

// windowWords is what a trade should know of a window, in sentences.
func windowWords(p *scheduler.Plan, w scheduler.Window) string {
	const day = "Monday 2 January, 15:04"
	var b strings.Builder
	caution := false
	for _, id := range w.Steps {
		if step := p.FindStep(id); step != nil {
			fmt.Fprintf(&b, "%s, from %s.\n", step.Title, step.Start.Format(day))
			caution = caution || len(step.Cautions) > 0
		}
	}
	fmt.Fprintf(&b, "The earliest you can be in: %s.\n", w.Earliest.Format(day))
	fmt.Fprintf(&b, "Out by %s, nobody else moves.\n", w.OutForOthers.Format(day))
	fmt.Fprintf(&b, "Out by %s, the due days hold.\n", w.OutForDue.Format(day))
	b.WriteString("Planned days may move until they are agreed.")
	if caution {
		b.WriteString("\n" + safetyWord)
	}
	return b.String()
}
