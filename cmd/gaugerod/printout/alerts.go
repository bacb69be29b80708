package printout

import (
	"slices"

	"gaugerod/cmd/gaugerod/terminal"
	"gaugerod/scheduler"
)

// gravity is the heading and mark of each severity.
var gravity = map[scheduler.Severity]struct {
	heading, mark string
	ink           terminal.Ink
}{
	scheduler.Grave: {"Grave: wrong now, or about to be buried or missed", "!! ", terminal.Red},
	scheduler.Act:   {"Somebody must act", " ! ", terminal.Yellow},
	scheduler.Note:  {"Worth knowing", " . ", terminal.NoInk},
}

// alerts are grouped by severity, the gravest first, each with what could be done.
func (p *printout) alerts() {
	var aside int64
	for _, severity := range scheduler.Severities {
		g := gravity[severity]
		first := true
		for k := range p.plan.Alerts {
			a := &p.plan.Alerts[k]
			if a.Severity != severity || !p.concerns(a) {
				continue
			}
			if a.Aside != "" {
				aside++
				continue
			}
			if first {
				p.Heading(g.heading)
				first = false
			}
			p.Inked(g.ink, g.mark, string(a.Kind)+": "+a.Sentence)
			if a.Remedy != "" {
				p.Line("   ", a.Remedy)
			}
		}
	}
	if aside > 0 {
		p.Blank()
		p.Line("", count(aside, "alert")+" put aside by somebody, with a reason: --json shows them.")
	}
}

func (p *printout) concerns(a *scheduler.Alert) bool {
	if !p.view.narrowed() || p.anyShown(a.Steps) {
		return true
	}
	if p.view.Trade != "" {
		return slices.Contains(a.Trades, p.view.Trade)
	}
	return p.inPlace(a.Places...)
}
