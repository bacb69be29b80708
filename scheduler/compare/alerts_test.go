package compare_test

import (
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
)

func TestAlertsThatComeAndGo(t *testing.T) {
	before := &scheduler.Plan{Alerts: []scheduler.Alert{{Key: "a"}, {Key: "b"}, {Key: "c", Aside: "known"}}}
	after := &scheduler.Plan{Alerts: []scheduler.Alert{{Key: "d", Aside: "known"}, {Key: "b"}, {Key: "e"}, {Key: "c"}}}
	fresh, gone := compare.Alerts(before, after)
	if len(fresh) != 2 || fresh[0].Key != "e" || fresh[1].Key != "c" {
		t.Errorf("new: %v", fresh)
	}
	if len(gone) != 1 || gone[0].Key != "a" {
		t.Errorf("gone: %v", gone)
	}
}
