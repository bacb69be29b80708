package rights

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// TestATrialOpensToNobodyWhatIsNotTheirs: who adopts one may make each of its changes
// without it.
func TestATrialOpensToNobodyWhatIsNotTheirs(t *testing.T) {
	const o, d, s, r = scheduler.Owner, scheduler.Designer, scheduler.SiteLead, scheduler.Reader
	put := func(path ...string) trial.Op { return trial.Op{Put: &trial.Put{Path: path}} }
	for _, c := range []struct {
		name string
		op   trial.Op
		may  string // the roles
	}{
		{"takes", trial.Op{Takes: &trial.Takes{}}, "owner"},
		{"crews", trial.Op{Crews: &trial.Crews{}}, "owner, site lead"},
		{"expected", trial.Op{Expected: &trial.Expected{}}, "owner, site lead"},
		{"pin", trial.Op{Pin: &trial.Pin{}}, "owner"},
		{"off", trial.Op{Off: &trial.Off{}}, "owner, site lead"},
		{"layer", trial.Op{Layer: &trial.Layer{}}, "owner, designer"},
		{"a task", put("tasks", "frame"), "owner"},
		{"a hold point", put("holds", "seen"), "owner, designer"},
		{"a hold point of a typical", put("typicals", "openings", "holds", "seen"), "owner"},
		{"a person", put("people", "ida"), "owner"},
		{"the working week", put("week"), "owner"},
		{"nothing", trial.Op{}, ""},
		{"a thing nowhere", put(), "owner"},
	} {
		var may []string
		for _, role := range []scheduler.Role{o, d, s, r} {
			v := signin.Visitor{Session: uuid.New(), Account: uuid.New(), Role: role}
			err := Adopt(v, []trial.Op{{Crews: &trial.Crews{}}, c.op})
			if role == d && c.may == "owner, designer" {
				err = Adopt(v, []trial.Op{c.op}) // crews are not the designer's
			}
			if err == nil {
				may = append(may, string(role))
				continue
			}
			if refused, ok := errors.AsType[*RefusedError](err); !ok || !strings.Contains(refused.Says, "ay") {
				t.Errorf("%s: %v", c.name, err)
			}
		}
		if got := strings.Join(may, ", "); got != c.may {
			t.Errorf("%s: %s may adopt it, not %s", c.name, got, c.may)
		}
	}
}
