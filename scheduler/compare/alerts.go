package compare

import "gaugerod/scheduler"

// Alerts are those that only the later plan has, and those that only the earlier one
// has, each in the order of its plan. One that somebody has set aside is none.
func Alerts(before, after *scheduler.Plan) (fresh, gone []scheduler.Alert) {
	return missing(after.Alerts, before.Alerts), missing(before.Alerts, after.Alerts)
}

// missing is the alerts in sight that others do not have.
func missing(all, others []scheduler.Alert) []scheduler.Alert {
	known := make(map[string]bool, len(others))
	for k := range others {
		if others[k].Aside == "" {
			known[others[k].Key] = true
		}
	}
	var out []scheduler.Alert
	for k := range all {
		if all[k].Aside == "" && !known[all[k].Key] {
			out = append(out, all[k])
		}
	}
	return out
}
