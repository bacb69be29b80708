package published_test

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// unknown stands for a figure that the source does not print.
const unknown = -1 << 30

// figures is what a source prints of one activity, in days from the start.
type figures struct{ ES, EF, LS, LF, TF, FF int }

// table is a network in days with the figures that are expected of it.
type table struct {
	job  *scheduler.Job
	ids  []scheduler.ID
	want map[scheduler.ID]figures
}

// continuousJob is an empty job in which every minute works, so that days are
// plain numbers: "1 day" is 24 hours.
func continuousJob() *scheduler.Job {
	job := &scheduler.Job{
		ID: "published", Title: "A published network", Zone: "UTC",
		Start: worktime.NewDate(2026, time.January, 1),
		Day:   worktime.Span{Amount: 24, Unit: worktime.Hours},
	}
	for day := range job.Week {
		job.Week[day] = []worktime.Period{{From: 0, To: 24 * 60}}
	}
	return job
}

// parse reads a network, one activity a line:
//
//	name days | what it is after | ES EF LS LF TF FF
//
// What it is after is "finish of A wait 3", several apart by semicolons, with "to
// finish" at the end where its own finish is meant. A dot is a figure that the
// source does not print.
func parse(t *testing.T, text string) *table {
	t.Helper()
	tb := &table{job: continuousJob(), want: map[scheduler.ID]figures{}}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		parts := strings.Split(line, "|")
		name, days, _ := strings.Cut(strings.TrimSpace(parts[0]), " ")
		tb.add(t, name, number(t, days), parts[1])
		if len(parts) > 2 {
			tb.want[idOf(name)] = parseFigures(t, parts[2])
		}
	}
	return tb
}

func (tb *table) add(t *testing.T, name string, days int, after string) {
	t.Helper()
	id := idOf(name)
	tb.ids = append(tb.ids, id)
	tb.job.Tasks = append(tb.job.Tasks, scheduler.Task{
		ID: id, Title: name,
		Work: scheduler.Work{Crews: 1, Takes: worktime.Span{Amount: int32(days), Unit: worktime.Days}},
	})
	for item := range strings.SplitSeq(after, ";") {
		if strings.TrimSpace(item) != "" {
			tb.job.Waits = append(tb.job.Waits, parseWait(t, item, id))
		}
	}
}

var waitText = regexp.MustCompile(`^(start|finish) of (\S+)(?: wait (\d+))?( to finish)?$`)

func parseWait(t *testing.T, text string, to scheduler.ID) scheduler.Wait {
	t.Helper()
	m := waitText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		t.Fatalf("%q is not a wait", text)
	}
	w := scheduler.Wait{
		From: scheduler.Point{Step: idOf(m[2])}, To: scheduler.Point{Step: to}, Reason: scheduler.Sense,
		Least: worktime.Span{Unit: worktime.Days},
	}
	if m[1] == "finish" {
		w.From.End = scheduler.Finish
	}
	if m[3] != "" {
		w.Least.Amount = int32(number(t, m[3]))
	}
	if m[4] != "" {
		w.To.End = scheduler.Finish
	}
	return w
}

// arrows reads an activity-on-arrow network, one arc a line: "1-2 7 | ES EF LS LF
// TF FF". Each event becomes a step of no length between the arcs that end and
// those that start there.
func arrows(t *testing.T, text string) *table {
	t.Helper()
	var lines []string
	events := map[string][]string{}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		head, want, _ := strings.Cut(line, "|")
		arc, _, _ := strings.Cut(head, " ")
		from, to, _ := strings.Cut(arc, "-")
		events[to] = append(events[to], "finish of "+arc)
		if events[from] == nil {
			events[from] = []string{}
		}
		lines = append(lines, fmt.Sprintf("%s | finish of event-%s | %s", strings.TrimSpace(head), from, want))
	}
	for _, event := range slices.Sorted(maps.Keys(events)) {
		lines = append(lines, fmt.Sprintf("event-%s 0 | %s", event, strings.Join(events[event], ";")))
	}
	return parse(t, strings.Join(lines, "\n"))
}

func parseFigures(t *testing.T, text string) figures {
	t.Helper()
	f := figures{unknown, unknown, unknown, unknown, unknown, unknown}
	into := []*int{&f.ES, &f.EF, &f.LS, &f.LF, &f.TF, &f.FF}
	words := strings.Fields(text)
	if len(words) != len(into) {
		t.Fatalf("%q is not six figures", text)
	}
	for k, word := range words {
		if word != "." {
			*into[k] = number(t, word)
		}
	}
	return f
}

func number(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// idOf makes a name of ours of an activity's: "A" is "a", the arc "1-2" "arc-1-2".
func idOf(name string) scheduler.ID {
	name = strings.ToLower(strings.TrimSpace(name))
	if name[0] >= '0' && name[0] <= '9' {
		name = "no-" + name
	}
	return scheduler.ID(name)
}
