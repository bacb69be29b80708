package instance_test

import (
	"errors"
	"slices"
	"testing"

	"gaugerod/scheduler/instance"
)

// The instances here are our own, written for these tests.

const sections = `************************************************************************
jobs (incl. supersource/sink ):  4
  - renewable                 :  2   R
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     3       2    0
  3      1     4       1    1
  4      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    2    1
************************************************************************
`

const bare = `4 2
2 1
0 0 0 2 2 3
3 2 0 1 4
4 1 1 1 4
0 0 0 0
`

const lags = `2	2	0	0
0	1	2	1	2	[0]	[0]
1	1	2	2	3	[-5]	[3]
2	1	1	3	[4]
3	1	0
0	1	0	0	0
1	1	3	2	0
2	1	4	1	1
3	1	0	0	0
2	1
`

func TestTheThreeFormatsSayTheSame(t *testing.T) {
	for name, text := range map[string]string{"folder/a.sm": sections, "a.rcp": bare, "a.SCH": lags} {
		p, err := instance.Read(name, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if p.Name != "a" || len(p.Length) != 4 || p.Length[1] != 3 || p.Length[2] != 4 {
			t.Errorf("%s: %+v", name, p)
		}
		if len(p.Size) != 2 || p.Size[0] != 2 || p.Size[1] != 1 || p.Use[0][1] != 2 || p.Use[1][2] != 1 {
			t.Errorf("%s: resources %v, use %v", name, p.Size, p.Use)
		}
	}
	p, _ := instance.Read("a.sm", []byte(sections))
	if len(p.Lags) != 4 || p.Lags[2] != (instance.Lag{From: 1, To: 3, Least: 3}) {
		t.Errorf("finish to start: %v", p.Lags)
	}
	p, _ = instance.Read("a.sch", []byte(lags))
	if len(p.Lags) != 5 || p.Lags[2] != (instance.Lag{From: 1, To: 2, Least: -5}) {
		t.Errorf("start to start: %v", p.Lags)
	}
}

func TestRefusals(t *testing.T) {
	for name, text := range map[string]string{
		"a.txt": bare, "a.sm": bare, "b.rcp": "4 2\n2 1\n0 0", "c.rcp": "4 two", "d.rcp": "", "e.rcp": "-4 2",
		"f.rcp": "2 1 1 0 0 1 9 0 0 0", "g.sch": "2 1 0", "h.sch": "2 1 0 0 0 1 1 7 [0]", "i.sm": sections[:200],
		"j.rcp": "999999999 1", "k.rcp": "90000 90000", "l.rcp": "1 1", "m.rcp": "2 1 1 -3 0 0 0 0 0",
		"n.rcp": "2 1 1 1000000001 0 1 2 0 0 0", "o.rcp": "2 1 9999999999 0 0 1 2 0 0 0", "p.rcp": "2 1 1 5 9999999999 1 2 0 0 0",
		"q.sch": "0 1 0 0 0 1 1 1 [-1000000001] 1 1 0 0 1 0 0 1 1 0 0 1",
	} {
		if _, err := instance.Read(name, []byte(text)); !errors.Is(err, instance.ErrFormat) {
			t.Errorf("%s: %v, want ErrFormat", name, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range []string{sections, bare, lags} {
		for _, ending := range []string{"a.sm", "a.rcp", "a.sch"} {
			f.Add(ending, []byte(text))
		}
	}
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		p, err := instance.Read(name, data)
		if err != nil {
			if !errors.Is(err, instance.ErrFormat) || p != nil {
				t.Errorf("got %v, %v", p, err)
			}
			return
		}
		for _, l := range p.Lags {
			if l.From < 0 || l.To < 0 || l.From >= len(p.Length) || l.To >= len(p.Length) {
				t.Errorf("lag %+v joins steps that are not there", l)
			}
		}
		if len(p.Use) != len(p.Size) {
			t.Errorf("%d resources, of which %d are used", len(p.Size), len(p.Use))
		}
		for _, use := range append(p.Use, p.Length) {
			if len(use) != len(p.Length) || len(use) < 2 || slices.Min(use) < 0 || slices.Max(use) > 1e9 {
				t.Errorf("uses or lengths %v", use)
			}
		}
	})
}
