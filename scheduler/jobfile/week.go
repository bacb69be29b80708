package jobfile

import (
	"fmt"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var weekTable = table[worktime.Week]{
	name: "week",
	keys: []key[worktime.Week]{
		weekday("monday", time.Monday),
		weekday("tuesday", time.Tuesday),
		weekday("wednesday", time.Wednesday),
		weekday("thursday", time.Thursday),
		weekday("friday", time.Friday),
		weekday("saturday", time.Saturday),
		weekday("sunday", time.Sunday),
	},
}

func weekday(name string, day time.Weekday) key[worktime.Week] {
	return may(name, periods, func(w *worktime.Week) *[]worktime.Period { return &w[day] })
}

var week = mapping(&weekTable, func(worktime.Week) bool { return false })

var period = parsed("a working period, for instance 07:30-12:00", parsePeriod, worktime.Period.String)

func parsePeriod(s string) (worktime.Period, error) {
	const mend = "write two times of day joined by a hyphen, for instance 07:30-12:00"
	a, b, ok := strings.Cut(s, "-")
	if !ok {
		return worktime.Period{}, fmt.Errorf("%q is no working period: "+mend, s)
	}
	from, err1 := worktime.ParseClock(a)
	to, err2 := worktime.ParseClock(b)
	if err1 != nil || err2 != nil {
		return worktime.Period{}, fmt.Errorf("%q is no working period: "+mend, s)
	}
	return worktime.Period{From: from, To: to}, nil
}

// periods is the working periods of a day.
var periods = codec[[]worktime.Period]{
	blank: func(all []worktime.Period) bool { return len(all) == 0 },
	read: func(r *reader, at spot, n *yaml.Node, into *[]worktime.Period) bool {
		if !r.sequence(at, n) {
			return false
		}
		whole := true
		for _, item := range n.Content {
			var p worktime.Period
			if period.read(r, at, item, &p) {
				*into = append(*into, p)
			} else {
				whole = false
			}
		}
		return whole
	},
	write: func(all []worktime.Period) *yaml.Node {
		l := &yaml.Node{Kind: yaml.SequenceNode}
		for _, p := range all {
			l.Content = append(l.Content, period.write(p))
		}
		return l
	},
}

var closureTable = table[scheduler.Closure]{
	name: "closure",
	keys: []key[scheduler.Closure]{
		must("from", date, func(c *scheduler.Closure) *worktime.Date { return &c.From }),
		must("to", date, func(c *scheduler.Closure) *worktime.Date { return &c.To }),
		may("why", text, func(c *scheduler.Closure) *string { return &c.Why }),
	},
}

// closures is days off, called what they are.
func closures(what string) codec[[]scheduler.Closure] {
	return listed(what, &closureTable, func(c *scheduler.Closure) *scheduler.Pos { return &c.Pos })
}
