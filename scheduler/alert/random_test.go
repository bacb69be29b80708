package alert_test

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gaugerod/scheduler"
	"gaugerod/scheduler/alert"
	"gaugerod/scheduler/expand"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
	"gaugerod/scheduler/verify"
)

var aDate = regexp.MustCompile(`\d{4}-\d{2}-\d{2}|\d{2}:\d{2}`)

// TestRandomJobs: whatever the plan, each alert is whole and its key its own; the
// order is the gravest first; the same again gives the same; recorded work that the
// plan calls out of order is told unless only days were recorded.
func TestRandomJobs(t *testing.T) {
	kinds := map[scheduler.AlertKind]int{}
	for seed := range uint64(60) {
		job := randomjob.New(seed, randomjob.Size{Steps: 10 + int(seed)%50, Tight: int(seed) % 30})
		net, err := expand.Expand(job)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := planner.Plan(t.Context(), job, planner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if broken := verify.Plan(job, plan); len(broken) > 0 {
			t.Logf("seed %d: the plan itself breaks %v", seed, broken[0])
			t.Fail()
		}
		all := alert.Find(net, plan)
		if again := alert.Find(net, plan); !reflect.DeepEqual(all, again) || !reflect.DeepEqual(all, plan.Alerts) {
			t.Errorf("seed %d: not the same again", seed)
		}
		seen := map[string]bool{}
		for k, a := range all {
			kinds[a.Kind]++
			whole := strings.HasPrefix(a.Key, string(a.Kind)+": ") && strings.HasSuffix(a.Sentence, ".") && strings.HasSuffix(a.Remedy, ".") &&
				slices.Contains(scheduler.Severities, a.Severity) && len(a.Steps) > 0
			if !whole || aDate.MatchString(a.Key) || seen[a.Key] {
				t.Errorf("seed %d: %+v", seed, a)
			}
			seen[a.Key] = true
			if k > 0 && slices.Index(scheduler.Severities, all[k-1].Severity) > slices.Index(scheduler.Severities, a.Severity) {
				t.Errorf("seed %d: %s after %s", seed, a.Key, all[k-1].Key)
			}
			late := a.Kind == scheduler.LateOrder || a.Kind == scheduler.LateHold
			if late && a.Severity == scheduler.Grave && !short(plan) {
				t.Errorf("seed %d: %s although every due day holds", seed, a.Sentence)
			}
			for _, id := range a.Steps {
				if plan.FindStep(id) == nil {
					t.Errorf("seed %d: %s concerns %s, which is no step", seed, a.Key, id)
				}
			}
		}
	}
	t.Log(kinds)
	for _, kind := range []scheduler.AlertKind{
		scheduler.Loop, scheduler.LateOrder, scheduler.LateHold, scheduler.OutOfOrder, scheduler.DueMissed,
		scheduler.ShortNotice, scheduler.LooseEnd, scheduler.ExtraVisit, scheduler.PlaceCrowded,
	} {
		if kinds[kind] == 0 {
			t.Errorf("no random job gave an alert of the kind %s", kind)
		}
	}
}

// short says whether something in a plan has less time than it needs.
func short(plan *scheduler.Plan) bool {
	return slices.ContainsFunc(plan.Steps, func(s scheduler.PlannedStep) bool { return s.Slack < 0 || s.TotalFloat < 0 })
}

func BenchmarkFind100000Steps(b *testing.B) {
	job := randomjob.Plain(1, 100_000, 250_000)
	net, err := expand.Expand(job)
	if err != nil {
		b.Fatal(err)
	}
	plan, err := planner.Plan(b.Context(), job, planner.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		alert.Find(net, plan)
	}
}
