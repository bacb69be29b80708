package alert

import (
	"fmt"
	"strings"

	"gaugerod/scheduler"
)

// loops: each smallest set of statements that cannot all hold, or for which no order
// of work was found. Always grave: the plan keeps all but one of them.
func (v *view) loops() {
	for _, c := range v.plan.Contradictions {
		var steps []scheduler.ID
		texts := make([]string, len(c.Statements))
		for k, s := range c.Statements {
			texts[k] = s.Text
			steps = append(steps, s.Steps...)
		}
		steps = unique(steps)
		kept := "the due day is missed"
		if c.Dropped >= 0 && c.Dropped < len(texts) {
			kept = "the plan sets aside: " + texts[c.Dropped]
		}
		k := key(scheduler.Loop, steps...)
		if len(steps) == 0 {
			k = string(scheduler.Loop) + ": " + strings.Join(texts, ", ")
		}
		sentence := "These %d statements cannot all hold: %s; %s."
		if c.Unproven {
			sentence = "No order of work was found in which these %d statements all hold, and it is not proven that there is none: %s; %s."
		}
		v.add(scheduler.Alert{
			Key: k, Kind: scheduler.Loop, Severity: scheduler.Grave, Steps: steps,
			Sentence: fmt.Sprintf(sentence, len(texts), strings.Join(texts, "; "), kept),
			Remedy:   "Change or strike one of them, or waive a wait with a reason.",
		})
	}
}
