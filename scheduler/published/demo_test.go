package published_test

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/jobfile"
)

const demoFile = "../../testdata/demo.job.yaml"

func readDemo(t *testing.T) *scheduler.Job {
	t.Helper()
	data, err := os.ReadFile(demoFile)
	if err != nil {
		t.Fatal(err)
	}
	job, err := jobfile.Read("testdata/demo.job.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// demoNet is the demo expanded, with a search along its waits.
type demoNet struct {
	*scheduler.Network
	after map[scheduler.ID][]scheduler.ID
}

func expandDemo(t *testing.T) *demoNet {
	t.Helper()
	net, err := expand.Expand(readDemo(t))
	if err != nil {
		t.Fatal(err)
	}
	n := &demoNet{Network: net, after: map[scheduler.ID][]scheduler.ID{}}
	for k, w := range net.Waits {
		if !net.Waived[k] && w.From.End == scheduler.Finish && w.To.End == scheduler.Start {
			n.after[w.From.Step] = append(n.after[w.From.Step], w.To.Step)
		}
	}
	return n
}

// follows says whether then cannot start before first has finished.
func (n *demoNet) follows(first, then scheduler.ID) bool {
	seen := map[scheduler.ID]bool{first: true}
	for queue := []scheduler.ID{first}; len(queue) > 0; queue = queue[1:] {
		for _, next := range n.after[queue[0]] {
			if next == then {
				return true
			}
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return false
}

// every is the steps that a name means: one step, or all instances of a typical's.
func (n *demoNet) every(t *testing.T, name scheduler.ID) []scheduler.ID {
	t.Helper()
	if _, ok := n.Find(name); ok {
		return []scheduler.ID{name}
	}
	var all []scheduler.ID
	for k := range n.Steps {
		if s := &n.Steps[k]; s.Typical+"."+s.Local == name {
			all = append(all, s.ID)
		}
	}
	if len(all) == 0 {
		t.Fatalf("the demo has no step %s", name)
	}
	return all
}

// What the demo is there to show, line by line: the second cannot start before the
// first has finished.
func TestTheDemoKeepsItsOrder(t *testing.T) {
	n := expandDemo(t)
	for _, c := range []struct {
		line        string
		first, then scheduler.ID
	}{
		{"the window order is driven by a frozen decision", "sizes-frozen", "windows.drawing"},
		{"openings are signed off before the windows come", "openings.ready", "windows.delivery"},
		{"a way down the slope before the heavy doors", "slope-way", "doors.delivery"},
		{"membrane under the door before the door", "thresholds.membrane", "thresholds.set"},
		{"water stood on the membrane before the door", "thresholds.water-test", "thresholds.set"},
		{"the stair after the staging that stands in its place", "staging-down", "stair-in"},
		{"deck brackets before the first layer outside", "deck-brackets", "wall-south.fibre-1"},
		{"blind brackets before the first layer outside", "blind-brackets-on", "wall-south.fibre-1"},
		{"first layer before the second", "wall-south.fibre-1", "wall-south.fibre-2"},
		{"cladding before the deck frame", "wall-south.boards", "deck-frame"},
		{"the way of the accessory is decided before it is made", "bracket-way", "blind-brackets.making"},
		{"the kitchen is measured on finished wall and ceiling", "lower-floor.finish", "kitchen-measured"},
		{"then drawn", "kitchen-measured", "kitchen-units.drawing"},
		{"approved", "kitchen-units.drawing", "kitchen-units.approval"},
		{"made", "kitchen-units.approval", "kitchen-units.making"},
		{"and fitted", "kitchen-units.making", "cabinets"},
		{"the worktop after the cabinets", "cabinets", "worktop.making"},
		{"the leak test after every window is sealed", "openings.seal", "leak-test"},
		{"and before the barrier is covered outside", "leak-test", "facades.fibre-1"},
		{"and inside", "leak-test", "floors.insulate"},
	} {
		for _, first := range n.every(t, c.first) {
			for _, then := range n.every(t, c.then) {
				if !n.follows(first, then) {
					t.Errorf("%s: %s does not wait for %s", c.line, then, first)
				}
			}
		}
	}
}

// The demo uses the whole model, at the size that was asked of it.
func TestTheDemoUsesEveryFeature(t *testing.T) {
	n := expandDemo(t)
	job := n.Job
	if steps := len(n.Steps); steps < 150 || steps > 250 {
		t.Errorf("%d steps, want 150 to 250", steps)
	}
	if trades := len(job.Trades); trades < 14 || trades > 18 {
		t.Errorf("%d trades, want 14 to 18", trades)
	}
	uses := map[string]bool{
		"closures": len(job.Closures) > 0, "gear": len(job.Gear) > 0, "build-ups": len(job.BuildUps) > 0,
		"typicals": len(job.Typicals) > 0, "occupations": len(job.Occupations) > 0, "dues": len(job.Dues) > 1,
		"waivers": len(job.Waivers) > 0, "asides": len(job.Asides) > 0, "as-of": job.AsOf != nil,
	}
	for _, key := range []string{
		"room", "place week", "place closure", "trade week", "trade days off", "several crews", "alone", "weather",
		"cautions", "gear held", "witness point", "notice", "tolerance", "elapsed task", "stand-in", "most time",
		"exposure limit", "cure in a layer", "start to start", "finish to finish", "pin on a day", "pin not before",
		"started", "done", "remaining", "booked", "expected", "released", "refused", "measured", "place held", "gear kept",
	} {
		uses[key] = false
	}
	for _, kind := range scheduler.HoldKinds {
		uses["hold of kind "+string(kind)] = false
	}
	for _, reason := range scheduler.Reasons {
		uses["reason "+string(reason)] = false
	}
	for _, role := range scheduler.Roles {
		uses["role "+string(role)] = false
	}
	usesOfSite(job, uses)
	usesOfSteps(n, uses)
	usesOfRecord(job, uses)
	for key, used := range uses {
		if !used {
			t.Errorf("the demo does not use: %s", key)
		}
	}
}

func usesOfSite(job *scheduler.Job, uses map[string]bool) {
	for _, p := range job.Places {
		uses["room"] = uses["room"] || p.Room > 0
		uses["place week"] = uses["place week"] || p.Week != nil
		uses["place closure"] = uses["place closure"] || len(p.Closures) > 0
	}
	for _, tr := range job.Trades {
		uses["trade week"] = uses["trade week"] || tr.Week != nil
		uses["trade days off"] = uses["trade days off"] || len(tr.Off) > 0
		uses["several crews"] = uses["several crews"] || tr.Crews > 1
	}
	for _, p := range job.People {
		uses["role "+string(p.Role)] = true
	}
	for _, o := range job.Orders {
		uses["stand-in"] = uses["stand-in"] || o.StandIn != ""
	}
	for _, o := range job.Occupations {
		uses["place held"] = uses["place held"] || o.Place != ""
		uses["gear kept"] = uses["gear kept"] || o.Gear != ""
	}
}

func usesOfSteps(n *demoNet, uses map[string]bool) {
	for k := range n.Steps {
		s := &n.Steps[k]
		uses["alone"] = uses["alone"] || s.Alone
		uses["weather"] = uses["weather"] || s.Weather != nil
		uses["cautions"] = uses["cautions"] || len(s.Cautions) > 0
		uses["gear held"] = uses["gear held"] || len(s.Gear) > 0
		uses["witness point"] = uses["witness point"] || s.Witness
		uses["notice"] = uses["notice"] || !s.Notice.Zero()
		uses["tolerance"] = uses["tolerance"] || s.Nominal != nil && s.Tolerance > 0
		uses["elapsed task"] = uses["elapsed task"] || s.Kind == scheduler.TaskStep && s.Takes.Elapsed()
		if s.Kind == scheduler.HoldStep {
			uses["hold of kind "+string(s.HoldKind)] = true
		}
	}
	for _, w := range n.Waits {
		uses["reason "+string(w.Reason)] = true
		uses["most time"] = uses["most time"] || w.Most != nil && w.Origin == ""
		uses["start to start"] = uses["start to start"] || w.From.End == scheduler.Start && w.To.End == scheduler.Start
		uses["finish to finish"] = uses["finish to finish"] || w.From.End == scheduler.Finish && w.To.End == scheduler.Finish
	}
	for _, b := range n.Job.BuildUps {
		for _, l := range b.Layers {
			uses["exposure limit"] = uses["exposure limit"] || l.Exposed != nil
			uses["cure in a layer"] = uses["cure in a layer"] || !l.Cure.Zero()
		}
	}
}

func usesOfRecord(job *scheduler.Job, uses map[string]bool) {
	for _, p := range job.Pins {
		uses["pin on a day"] = uses["pin on a day"] || p.On != nil
		uses["pin not before"] = uses["pin not before"] || p.NotBefore != nil
	}
	for _, f := range job.Facts {
		for key, said := range map[string]bool{
			"started": f.Started != nil, "done": f.Done != nil, "remaining": f.Remaining != nil, "booked": f.Booked != nil,
			"expected": f.Expected != nil, "released": f.Released != nil, "refused": f.Refused != nil, "measured": f.Measured != nil,
		} {
			uses[key] = uses[key] || said
		}
	}
}

// The plan of the demo is one that a reader can believe: sound, without
// contradictions, both due days kept with some room, and a handful of alerts of
// different kinds.
func TestTheDemoPlansSensibly(t *testing.T) {
	job := readDemo(t)
	plan := planOf(t, job)
	for _, c := range plan.Contradictions {
		t.Errorf("contradiction: %+v", c)
	}
	for _, d := range plan.Dues {
		weeks := float64(d.Margin) / float64(plan.DayMinutes) / 5
		t.Logf("%s: %s, %.1f weeks in hand", d.Title, d.Planned.Format(time.DateOnly), weeks)
		if d.Missed || weeks < 0.4 || weeks > 6 {
			t.Errorf("%s has %.1f weeks in hand", d.Title, weeks)
		}
	}
	kinds, aside := map[scheduler.AlertKind]int{}, 0
	for _, a := range plan.Alerts {
		kinds[a.Kind]++
		if a.Aside != "" {
			aside++
		}
		t.Logf("%s, %s: %s", a.Severity, a.Kind, a.Sentence)
	}
	if n := len(plan.Alerts); n < 5 || n > 15 || len(kinds) < 5 {
		t.Errorf("%d alerts of %d kinds: %v", n, len(kinds), kinds)
	}
	if aside != len(job.Asides) {
		t.Errorf("%d alerts are put aside, want %d", aside, len(job.Asides))
	}
	for _, kind := range []scheduler.AlertKind{scheduler.OutOfOrder, scheduler.CoveredUnseen, scheduler.MeasureOff} {
		if kinds[kind] == 0 {
			t.Errorf("no alert of kind %q", kind)
		}
	}
}

// While the staging stands in the stairwell nobody but those who work from it is in there.
func TestTheDemoStagingBlocksTheStairwell(t *testing.T) {
	job := readDemo(t)
	plan := planOf(t, job)
	up, down := plan.FindStep("staging-up").Start, plan.FindStep("staging-down").Finish
	admitted := job.Occupations[1].Admits
	for k := range plan.Steps {
		s := &plan.Steps[k]
		if !slices.Contains(s.Places, "stairwell") || slices.Contains(admitted, s.ID) || s.Work == 0 {
			continue
		}
		if s.Start.Before(down) && s.Finish.After(up) {
			t.Errorf("%s is in the stairwell from %s to %s while the staging stands", s.ID, s.Start, s.Finish)
		}
	}
	if fmt.Sprint(admitted) == "[]" || !up.Before(down) {
		t.Error("the demo's staging admits nobody or never stands")
	}
}
