package rules

import (
	"fmt"
	"regexp"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// checkIssues checks that the letters of the issues follow each other, as their
// days do: none was ever taken out.
func (c *checker) checkIssues() {
	for k := range c.job.Issues {
		i := &c.job.Issues[k]
		s := subject{i.Pos, fmt.Sprintf("issue %q", i.Letter)}
		if due := scheduler.Letter(k); i.Letter != due {
			c.fault(s, "", i.Letter, fmt.Sprintf("stands where issue %s is due", due), "letter the issues in the order in which they were sent out: A, B and so on")
		}
		c.person(s, i.By, "sent it out")
		c.day(s, "as-of", i.AsOf)
		if c.day(s, "on", i.On) && k > 0 && i.On < c.job.Issues[k-1].On {
			c.fault(s, "on", i.On.String(), fmt.Sprintf("was sent out on %s, before the issue that stands before it", i.On), "write the day on which it was sent out")
		}
		c.text(s, "note", i.Note)
	}
}

func (c *checker) checkPromises() {
	seen := map[string]bool{}
	for k := range c.job.Promises {
		p := &c.job.Promises[k]
		s := subject{p.Pos, fmt.Sprintf("promise %q", p.Window)}
		if seen[p.Window] {
			c.fault(s, "", p.Window, "is there twice", "leave one of them out")
		}
		seen[p.Window] = true
		c.window(s, "", p.Window, p.Trade, p.Place, p.Steps)
		c.stretch(s, "from", p.From, "until", p.Until)
		if p.Letter != "" && c.job.FindIssue(p.Letter) == nil {
			c.fault(s, "issue", p.Letter, fmt.Sprintf("stems from the issue %q, which is not under issues", p.Letter), "write the letter of the issue it was in, or leave it out")
		}
		switch {
		case p.Confirmed != nil:
			c.day(s, "confirmed", *p.Confirmed)
			c.speaker(s, p.By, "confirmed it")
		case p.By != "":
			c.fault(s, "by", string(p.By), "says who confirmed it and not when", "write confirmed with its day, or leave by out")
		case p.Letter == "":
			c.fault(s, "issue", "", "is neither issued nor confirmed", "write issue with its letter or confirmed with its day, or leave the promise out")
		}
	}
}

func (c *checker) checkAnswers() {
	for k := range c.job.Answers {
		a := &c.job.Answers[k]
		s := subject{a.Pos, fmt.Sprintf("answer of %q", a.Trade)}
		c.window(s, "window", a.Window, a.Trade, a.Place, a.Steps)
		c.stretch(s, "from", a.From, "to", a.To)
		c.day(s, "on", a.On)
		c.speaker(s, a.By, "said so")
		c.text(s, "note", a.Note)
	}
}

var goodStep = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*(\.[a-z0-9]+(-[a-z0-9]+)*)?$`)

// window checks a window as it was once planned. The trade and the place are still
// there. Its steps may be gone since; that is for the plan to tell.
func (c *checker) window(s subject, field, name string, trade, place scheduler.ID, steps []scheduler.ID) {
	told := len(c.faults)
	c.known(s, "trade", trade, &c.trades)
	c.known(s, "place", place, &c.places)
	if len(steps) == 0 {
		c.fault(s, "steps", "", "has no steps", "name the steps of the window")
		return
	}
	for id := range c.eachOnce(s, "steps", steps) {
		if !goodStep.MatchString(string(id)) || len(id) > 2*maxID+1 {
			c.fault(s, "steps", string(id), "names the step "+quoted(id)+", which no step can be called", "name it as the plan did: task, order.delivery or place.step")
		}
	}
	if want := strings.Join([]string{string(trade), string(place), string(steps[0])}, "."); name != want && len(c.faults) == told {
		c.fault(s, field, name, fmt.Sprintf("is of a window called %q, and its trade, place and first step make it %q", name, want), "write it so")
	}
}

// stretch checks two days of which the one may not lie before the other.
func (c *checker) stretch(s subject, first string, from worktime.Date, last string, to worktime.Date) {
	if c.day(s, first, from) && c.day(s, last, to) && to < from {
		c.fault(s, last, to.String(), fmt.Sprintf("runs until %s and begins only on %s", to, from), "write the earlier day under "+first)
	}
}

// speaker checks who spoke for a trade: it or a person must be named.
func (c *checker) speaker(s subject, by scheduler.ID, what string) {
	if by == "" {
		c.fault(s, "by", "", "does not say who "+what, "name the trade or a person under by")
		return
	}
	c.somebody(s, "by", by)
}
