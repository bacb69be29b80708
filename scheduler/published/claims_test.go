package published_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler/instance"
	"gaugerod/scheduler/solve"
)

// claim is the end of the shortest schedule of an instance, as our solver says.
type claim struct {
	*instance.Problem
	end int64 // none: it says that there is no schedule
}

const none = -1

// claimOf solves an instance to its proof and checks the schedule.
func claimOf(t *testing.T, in *instance.Problem) claim {
	t.Helper()
	r := ours(in, time.Minute)
	if err := solve.Check(in, &r); err != nil {
		t.Error(err)
	}
	switch r.Status {
	case solve.Proven:
		return claim{in, r.Makespan}
	case solve.Infeasible:
		return claim{in, none}
	}
	t.Fatalf("%s: %s after a minute", in.Name, r.Status)
	return claim{}
}

// holdClaims asks the general solver whether every instance can end when it is
// claimed to, and whether none can end before. It is asked about some at once, because
// starting it takes longer than most of them, and one by one where that confuses it.
// The result is how many it cannot answer even so.
func holdClaims(t *testing.T, claims []claim, atOnce int) (unanswered int) {
	t.Helper()
	for len(claims) > 0 {
		some := claims[:min(atOnce, len(claims))]
		claims = claims[len(some):]
		wrong, answered := wrongAmong(t, some, 3*time.Second)
		for k := 0; k < len(some) && !answered; k++ {
			one, known := wrongAmong(t, some[k:k+1], 15*time.Second)
			if !known {
				t.Logf("%s: the general solver has no answer", some[k].Name)
				unanswered++
			}
			wrong += one
		}
		if wrong != "" {
			t.Error(wrong)
		}
	}
	return unanswered
}

// wrongAmong is what is wrong with some claims, empty where they are right; answered
// is false where the general solver cannot say within the limit.
func wrongAmong(t *testing.T, claims []claim, limit time.Duration) (wrong string, answered bool) {
	t.Helper()
	var schedules []claim
	for _, c := range claims {
		if c.end != none {
			schedules = append(schedules, c)
		}
	}
	if len(schedules) > 0 {
		switch said := minizinc(t, "reached.mzn", manyData(schedules), limit); {
		case strings.Contains(said, unknownToIt):
			return "", false
		case !strings.Contains(said, "all reached"):
			return fmt.Sprintf("not all of %s can end when they are claimed to: %s", names(schedules), said), true
		}
	}
	switch said := minizinc(t, "shorter.mzn", manyData(claims), limit); {
	case strings.Contains(said, unknownToIt):
		return "", false
	case !strings.Contains(said, impossible):
		return fmt.Sprintf("one of %s can end before it is claimed to: %s", names(claims), said), true
	}
	return "", true
}

func names(claims []claim) string {
	list := make([]string, len(claims))
	for k := range claims {
		list[k] = fmt.Sprintf("%s (%d)", claims[k].Name, claims[k].end)
	}
	return strings.Join(list, ", ")
}

// manyData is the data of some instances for the models about many, each filled up with
// steps and limits that do not matter.
func manyData(claims []claim) string {
	steps, limits, far := 0, 0, int64(0)
	for _, c := range claims {
		steps, limits, far = max(steps, len(c.Length)), max(limits, len(c.Size)), max(far, latestEnd(c.Problem))
	}
	var ends, length, least, size, use []int64
	for _, c := range claims {
		end := c.end
		if end == none {
			end = latestEnd(c.Problem) + 1
		}
		ends = append(ends, end)
		last := len(c.Length) - 1
		place := func(step int) int {
			if step == last {
				return steps - 1
			}
			return step
		}
		spread := func(values []int64) []int64 {
			row := make([]int64, steps)
			for i, v := range values {
				row[place(i)] = v
			}
			return row
		}
		lags := make([]int64, steps*steps)
		for k := range lags {
			lags[k] = -2 * far
		}
		for _, l := range c.Lags {
			k := place(l.From)*steps + place(l.To)
			lags[k] = max(lags[k], l.Least)
		}
		length, least = append(length, spread(c.Length)...), append(least, lags...)
		for r := range limits {
			if r < len(c.Size) {
				size, use = append(size, c.Size[r]), append(use, spread(c.Use[r])...)
			} else {
				size, use = append(size, 0), append(use, spread(nil)...)
			}
		}
	}
	var d data
	d.number("instances", len(claims))
	d.number("steps", steps)
	d.number("limits", limits)
	d.list("claimed", ends)
	d.table("length", length, "instances", "steps")
	d.table("least", least, "instances", "steps", "steps")
	d.table("size", size, "instances", "limits")
	d.table("use", use, "instances", "limits", "steps")
	return d.String()
}
