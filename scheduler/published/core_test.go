package published_test

import (
	"encoding/csv"
	"os"
	"testing"
)

// The core of a house job: 84 rows with dates and floats computed independently,
// in working days without calendars. The file is invented and no part of it real.
const coreFile = "../../testdata/published/demo-core.csv"

// readCore reads the rows; the likely length of the windows' making and shipping
// may be another than the file's.
func readCore(t *testing.T, windowDays string) *table {
	t.Helper()
	file, err := os.Open(coreFile)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for k, name := range rows[0] {
		column[name] = k
	}
	tb := parse(t, "")
	for _, row := range rows[1:] {
		cell := func(name string) string { return row[column[name]] }
		days := cell("likely")
		if cell("id") == "L03" && windowDays != "" {
			days = windowDays
		}
		tb.add(t, cell("id"), number(t, days), cell("after"))
		tb.want[idOf(cell("id"))] = figures{
			ES: number(t, cell("ES")), EF: number(t, cell("EF")),
			LS: number(t, cell("LS")), LF: number(t, cell("LF")),
			TF: number(t, cell("TF")), FF: number(t, cell("FF")),
		}
	}
	return tb
}

func TestCoreOfAHouse(t *testing.T) {
	tb := readCore(t, "")
	if len(tb.ids) != 84 {
		t.Fatalf("%d rows, want 84", len(tb.ids))
	}
	tb.check(t, 209)
}

// Sixty days instead of eighty for the windows bring the finish to 189, a hundred
// to 229: each day on the windows is a day on the finish.
func TestCoreWhenTheWindowsTakeOtherTimes(t *testing.T) {
	for days, finish := range map[string]int{"60": 189, "80": 209, "100": 229} {
		tb := readCore(t, days)
		clear(tb.want)
		tb.check(t, finish)
	}
}
