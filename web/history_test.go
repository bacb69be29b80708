package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"gaugerod/db"
)

func TestHistoryTellsWhatWasAndWhatIs(t *testing.T) {
	b := sceneBoard(t)
	at := time.Date(2026, 5, 19, 9, 5, 0, 0, time.UTC)
	lines := []db.HistoryLine{
		{Revision: 3, At: at, Who: "ann", Kind: "fact", Key: "boards", Is: []byte(`{"started":"2026-05-19","by":"ann"}`)},
		{Revision: 2, At: at, Who: "load", Kind: "task", Key: "drain", Was: []byte(`{"takes":"1 day","title":"Drain"}`), Is: []byte(`{"takes":"2 days","title":"Drain","alone":true}`)},
		{Revision: 2, At: at, Who: "load", Kind: "pin", Key: "gone", Was: []byte(`{"on":"2026-06-01"}`)},
	}
	for k := range 20 {
		lines = append(lines, db.HistoryLine{Revision: 1, At: at, Who: "load", Kind: "place", Key: fmt.Sprint("p", k), Is: []byte(`{}`)})
	}
	pg := newHistoryPage(b, lines, nil)
	var got []string
	for _, c := range pg.Changes {
		line := fmt.Sprintf("%d %s %s:", c.Revision, c.At.Text, c.Who)
		for _, l := range c.Lines[:min(2, len(c.Lines))] {
			line += " " + l.What.Text()
			for _, f := range l.Fields {
				line += fmt.Sprintf(" [%s %q %q]", f.Name, f.Was, f.Is)
			}
		}
		got = append(got, line)
	}
	want := `3 Tue 19 May, 09:05 Ann Example: Fact Boards added [by "" "ann"] [started "" "2026-05-19"]
2 Tue 19 May, 09:05 load: Task Drain changed [alone "" "true"] [takes "1 day" "2 days"] Pin gone taken away
1 Tue 19 May, 09:05 load: Place p0 added Place p1 added`
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("%s\nnot\n%s", s, want)
	}
	if last := pg.Changes[2]; last.All != 20 || last.More != 8 {
		t.Errorf("of 20 lines %d are counted and %d left out", last.All, last.More)
	}
}

// historyOfLength is lines of changes with so many lines each, the newest first.
func historyOfLength(lines ...int) (all []db.HistoryLine) {
	for k, n := range lines {
		for range n {
			all = append(all, db.HistoryLine{Revision: int64(len(lines) - k)})
		}
	}
	return all
}
