package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
)

func TestTradesOverTime(t *testing.T) {
	s := slipped(t)
	path := s.job + "/trades-over-time?weeks=0"
	wantWords(t, s, path, "No trade is double-booked", "Away longest between two visits", "windows promised; ", "Window setters")
	w, doc := s.get(path)
	if w.Body.Len() > maxWeight {
		t.Errorf("it weighs %d bytes", w.Body.Len())
	}
	blocks := 0
	for _, class := range []string{"kw", "ku", "kd"} {
		blocks += len(find(doc, ".course path."+class))
	}
	if windows := len(s.sheet().Plan.Windows); blocks != windows {
		t.Errorf("%d of %d windows are drawn", blocks, windows)
	}
	// Times away are those between visits, and no visit begins within one.
	b, err := newBoard(s.sheet(), readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	away := 0
	for _, tt := range b.tradeTimes() {
		away += len(tt.away)
		if len(tt.visits) > 0 && len(tt.away) != len(tt.visits)-1 {
			t.Errorf("%s: %d visits and %d times away", tt.trade.ID, len(tt.visits), len(tt.away))
		}
		for _, a := range tt.away {
			for _, w := range tt.windows {
				if w.From.Before(a.until) && w.Until.After(a.from) {
					t.Errorf("%s is away from %s to %s and in %s", tt.trade.ID, a.from, a.until, w.Place)
				}
			}
		}
	}
	if drawn := len(find(doc, ".course path.aw")); away == 0 || drawn != away {
		t.Errorf("%d times away, %d drawn", away, drawn)
	}
	for _, wrong := range []string{"?weeks=3", "?from=soon", "?weeks=x"} {
		if w, _ := s.get(s.job + "/trades-over-time" + wrong); w.Code != http.StatusBadRequest {
			t.Errorf("%s: %d", wrong, w.Code)
		}
	}
}

// TestDoubleBooked records a trade with one crew at work in two places at once.
func TestDoubleBooked(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, time.UTC) }
	tt := tradeTime{trade: &scheduler.Trade{ID: "a", Crews: 2}}
	tt.addTwice([]atWork{
		{"one", 1, at(4, 8), at(8, 16)},
		{"two", 1, at(5, 8), at(6, 16)},
		{"three", 2, at(6, 8), at(7, 16)},
		{"four", 1, at(11, 8), at(12, 16)},
		{"five", 1, at(12, 16), at(13, 16)},
		{"six", 2, at(12, 8), at(12, 16)},
	})
	want := []twice{
		{at(6, 8), at(7, 16), 4, []scheduler.ID{"one", "two", "three"}},
		{at(12, 8), at(12, 16), 3, []scheduler.ID{"four", "six"}},
	}
	if len(tt.twice) != len(want) {
		t.Fatalf("%+v", tt.twice)
	}
	for k, w := range want {
		got := tt.twice[k]
		if !got.from.Equal(w.from) || !got.until.Equal(w.until) || got.crews != w.crews || len(got.steps) != len(w.steps) {
			t.Errorf("%+v, not %+v", got, w)
		}
	}
	sheet := scene()
	sheet.Job.Trades[0].Crews = 1
	sheet.Network = &scheduler.Network{Job: sheet.Job, Steps: []scheduler.Step{
		{ID: "boards", Work: scheduler.Work{Trades: []scheduler.ID{"boards"}}}, {ID: "drain", Work: scheduler.Work{Trades: []scheduler.ID{"boards"}}},
	}}
	for k := range sheet.Plan.Steps {
		if st := &sheet.Plan.Steps[k]; st.ID == "drain" || st.ID == "boards" {
			st.Trades, st.Start, st.Finish = []scheduler.ID{"boards"}, at(21, 8), at(22, 16)
		}
	}
	b, err := newBoard(sheet, readAt, false)
	if err != nil {
		t.Fatal(err)
	}
	pg := newVisitsPage(b, b.turnTo(turning{path: "/trades-over-time", zoom: zooms[3], reach: b.reach()}, b.usualFrom()))
	if len(pg.Twice) != 1 || !strings.Contains(pg.Twice[0].Text(), "two crews at once where it has one crew") {
		t.Errorf("%v", pg.Twice)
	}
	drawn := ""
	for _, strip := range pg.Picture.Strips {
		for _, row := range strip.Slices {
			drawn += string(row.Pieces[0])
		}
	}
	if !strings.Contains(drawn, `class="tw"`) || !strings.Contains(drawn, "double-booked") {
		t.Errorf("it is not drawn: %s", drawn)
	}
}
