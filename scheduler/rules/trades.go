package rules

import (
	"fmt"
	"unicode/utf8"

	"gaugerod/scheduler"
)

func (c *checker) checkTrades() {
	shorts := map[string]scheduler.ID{}
	for k := range c.job.Trades {
		t := &c.job.Trades[k]
		s := about("trade", t.ID, t.Pos)
		c.title(s, "title", t.Title)
		c.checkShort(s, t, shorts)
		c.atLeastOne(s, "crews", t.Crews)
		if t.Week != nil {
			c.week(s, t.Week)
		}
		c.closures(fmt.Sprintf("time off of trade %q", t.ID), t.Off)
		c.working(s, "notice", t.Notice)
	}
}

// checkShort checks the letters that stand for a trade on pictures.
func (c *checker) checkShort(s subject, t *scheduler.Trade, taken map[string]scheduler.ID) {
	if t.Short == "" {
		return
	}
	c.line(s, "short", t.Short)
	if n := utf8.RuneCountInString(t.Short); n < 2 || n > 4 {
		c.fault(s, "short", t.Short, fmt.Sprintf("has the short name %q of %d letters", t.Short, n), "write two to four letters")
	}
	if other, ok := taken[t.Short]; ok {
		c.fault(s, "short", t.Short, fmt.Sprintf("has the same short name %q as trade %q", t.Short, other), "give each trade letters of its own")
		return
	}
	taken[t.Short] = t.ID
}

func (c *checker) checkGear() {
	for k := range c.job.Gear {
		g := &c.job.Gear[k]
		s := about("gear", g.ID, g.Pos)
		c.title(s, "title", g.Title)
		c.atLeastOne(s, "count", g.Count)
	}
}

// maxCount is the most of anything that is counted: crews, room, pieces of gear.
const maxCount = 10_000

func (c *checker) atLeastOne(s subject, field string, n int) {
	if n < 1 || n > maxCount {
		c.fault(s, field, fmt.Sprint(n), fmt.Sprintf("has %d for %q", n, field), fmt.Sprintf("write a number from 1 to %d", maxCount))
	}
}
