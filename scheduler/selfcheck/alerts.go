package selfcheck

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/alert"
)

// fromAlerts counts what the alerts have found already, each under the rules stated
// there.
func (s *subject) fromAlerts() []Check {
	all := alert.Find(s.net, s.plan)
	pick := func(kind scheduler.AlertKind, severities ...scheduler.Severity) []Item {
		var items []Item
		for _, a := range all {
			for _, severity := range severities {
				if a.Kind == kind && a.Severity == severity {
					items = append(items, Item{Steps: a.Steps, Text: a.Sentence})
				}
			}
		}
		return items
	}
	return []Check{
		none(Check{
			Name: "covered before release", Formula: "coverings, by recorded work, of what an unreleased hold point had to see",
			Source: commonPractice, Items: pick(scheduler.CoveredUnseen, scheduler.Grave),
		}),
		none(Check{
			Name: "work out of order", Formula: "waits, not waived, that recorded work has not kept and that can still be mended",
			Source: federalWorks + ", 3.3.12 and 3.3.16 (from memory); " + guide,
			Items:  pick(scheduler.OutOfOrder, scheduler.Grave, scheduler.Act),
		}),
		none(Check{
			Name: "open too long", Formula: "most times exceeded by recorded work or by the plan",
			Source: commonPractice, Items: pick(scheduler.OpenTooLong, scheduler.Grave),
		}),
		listed(Check{
			Name: "open nearly too long", Formula: "most times of which more than 80 % is used",
			Source: commonPractice, Items: pick(scheduler.OpenTooLong, scheduler.Act, scheduler.Note),
		}),
		listed(Check{
			Name: "deliveries that sit", Formula: "deliveries that sit longer than they may before their first use (10 working days where nothing is said)",
			Source: commonPractice, Items: pick(scheduler.EarlyDelivery, scheduler.Act, scheduler.Note),
		}),
		listed(Check{
			Name: "two trades in one place on one day", Formula: "places and pairs of trades planned there on the same day within 20 working days",
			Source: commonPractice, Items: pick(scheduler.PlaceCrowded, scheduler.Act, scheduler.Note),
		}),
	}
}
