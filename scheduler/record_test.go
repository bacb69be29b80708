package scheduler_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// small is a job with one of each thing that commands touch.
func small() *scheduler.Job {
	nominal := 900
	return &scheduler.Job{
		ID:     "shed",
		Start:  day("2026-03-02"),
		People: []scheduler.Person{{ID: "ida"}, {ID: "kim"}, {ID: "inspector"}},
		Trades: []scheduler.Trade{{ID: "framing", Crews: 1}},
		Places: []scheduler.Place{{ID: "n1"}, {ID: "n2"}},
		Tasks:  []scheduler.Task{{ID: "frame", Work: scheduler.Work{Takes: span("3 days")}}},
		Holds: []scheduler.Hold{
			{ID: "frame-seen", Kind: scheduler.Inspection, By: "inspector"},
			{ID: "sill", Kind: scheduler.Measure, By: "kim", Nominal: &nominal, Tolerance: 5},
			{ID: "colour", Kind: scheduler.Decision},
		},
		Orders: []scheduler.Order{{ID: "windows", Stages: []scheduler.Stage{{ID: "making", Takes: span("4 weeks")}}}},
		Typicals: []scheduler.Typical{{
			ID: "openings", Places: []scheduler.ID{"n1", "n2"},
			Tasks: []scheduler.Task{{ID: "pan", Work: scheduler.Work{Takes: span("4 hours")}}},
			Holds: []scheduler.Hold{{ID: "ready", Kind: scheduler.Approval}},
		}},
	}
}

func span(s string) worktime.Span {
	v, err := worktime.ParseSpan(s)
	if err != nil {
		panic(err)
	}
	return v
}

func when(s string) *worktime.When {
	v, err := worktime.ParseWhen(s)
	if err != nil {
		panic(err)
	}
	return &v
}

func day(s string) worktime.Date { return when(s).Day }

func ptr[T any](v T) *T { return &v }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestRecordAddsToWhatIsKnown(t *testing.T) {
	j := small()
	must(t, j.Record(scheduler.Fact{Step: "frame", Started: when("2026-04-07 08:00"), Remaining: ptr(span("2 days")), By: "kim"}))
	must(t, j.Record(scheduler.Fact{Step: "frame", Remaining: ptr(span("1 day")), Note: "rain"}))
	want := []scheduler.Fact{{Step: "frame", Started: when("2026-04-07 08:00"), Remaining: ptr(span("1 day")), By: "kim", Note: "rain"}}
	if d := cmp.Diff(want, j.Facts); d != "" {
		t.Fatal(d)
	}
	must(t, j.Record(scheduler.Fact{Step: "frame", Done: when("2026-04-10")}))
	if f := j.FindFact("frame"); f.Remaining != nil || f.Done == nil || f.Note != "rain" {
		t.Fatalf("a step that is done has nothing left: %+v", f)
	}
	must(t, j.Record(scheduler.Fact{Step: "windows.making", Started: when("2026-03-19")}))
	must(t, j.Record(scheduler.Fact{Step: "windows.delivery", Expected: when("2026-05-05")}))
	must(t, j.Record(scheduler.Fact{Step: "n2.pan", Done: when("2026-05-05")}))
	must(t, j.Record(scheduler.Fact{Step: "sill", Measured: ptr(903)}))
	if len(j.Facts) != 5 {
		t.Fatalf("%d facts, want 5", len(j.Facts))
	}
}

func TestCorrectAndForget(t *testing.T) {
	j := small()
	must(t, j.Record(scheduler.Fact{Step: "frame", Started: when("2026-04-07"), Note: "wrong day"}))
	must(t, j.Record(scheduler.Fact{Step: "n1.pan", Started: when("2026-04-07")}))
	must(t, j.Correct(scheduler.Fact{Step: "frame", Started: when("2026-04-08")}))
	if f := j.FindFact("frame"); f.Note != "" || f.Started.Day != day("2026-04-08") {
		t.Fatalf("corrected to %+v", f)
	}
	must(t, j.Correct(scheduler.Fact{Step: "frame"}))
	if j.FindFact("frame") != nil || len(j.Facts) != 1 {
		t.Fatalf("left: %+v", j.Facts)
	}
}

func TestReleaseAndRefuse(t *testing.T) {
	j := small()
	must(t, j.Book("frame-seen", *when("2026-04-20 09:00"), ""))
	must(t, j.Refuse(scheduler.Verdict{Hold: "frame-seen", At: *when("2026-04-20"), By: "inspector", Note: "a strap is missing"}))
	must(t, j.Release(scheduler.Verdict{Hold: "frame-seen", At: *when("2026-04-22"), By: "inspector", Evidence: "report 7"}))
	f := j.FindFact("frame-seen")
	if f.Refused != nil || f.Released == nil || f.Booked == nil || f.By != "inspector" || f.Evidence != "report 7" {
		t.Fatalf("got %+v", f)
	}
	must(t, j.Release(scheduler.Verdict{Hold: "sill", At: *when("2026-04-22"), By: "kim", Measured: ptr(905)}))
	must(t, j.Release(scheduler.Verdict{Hold: "windows.delivery", At: *when("2026-04-22"), By: "kim"}))
	must(t, j.Release(scheduler.Verdict{Hold: "n1.ready", At: *when("2026-04-22"), By: "ida"}))
}

// TestRefusals has every command that a job does not take, and that nothing
// changes then.
func TestRefusals(t *testing.T) {
	seen := scheduler.Verdict{Hold: "frame-seen", At: *when("2026-04-20"), By: "inspector"}
	with := func(v scheduler.Verdict, f func(*scheduler.Verdict)) scheduler.Verdict { f(&v); return v }
	cases := map[string]struct {
		kind  error
		field string
		do    func(*scheduler.Job) error
	}{
		"unknown step":              {scheduler.ErrNotFound, "step", record(scheduler.Fact{Step: "roof", Done: when("2026-04-01")})},
		"unknown stage":             {scheduler.ErrNotFound, "step", record(scheduler.Fact{Step: "windows.paint", Done: when("2026-04-01")})},
		"typical elsewhere":         {scheduler.ErrNotFound, "step", record(scheduler.Fact{Step: "n3.pan", Done: when("2026-04-01")})},
		"all of a typical":          {scheduler.ErrNotFound, "step", record(scheduler.Fact{Step: "openings.pan", Done: when("2026-04-01")})},
		"unknown person":            {scheduler.ErrNotFound, "by", record(scheduler.Fact{Step: "frame", Done: when("2026-04-01"), By: "bo"})},
		"nothing said":              {scheduler.ErrIncomplete, "", record(scheduler.Fact{Step: "frame"})},
		"task released":             {scheduler.ErrWrongKind, "released", record(scheduler.Fact{Step: "frame", Released: when("2026-04-01")})},
		"task refused":              {scheduler.ErrWrongKind, "refused", record(scheduler.Fact{Step: "frame", Refused: when("2026-04-01")})},
		"task booked":               {scheduler.ErrWrongKind, "booked", record(scheduler.Fact{Step: "frame", Booked: when("2026-04-01")})},
		"task measured":             {scheduler.ErrWrongKind, "measured", record(scheduler.Fact{Step: "frame", Measured: ptr(1)})},
		"rest without start":        {scheduler.ErrIncomplete, "started", record(scheduler.Fact{Step: "frame", Remaining: ptr(span("1 day"))})},
		"rest of the done":          {scheduler.ErrImpossible, "remaining", record(scheduler.Fact{Step: "frame", Started: when("2026-04-01"), Done: when("2026-04-02"), Remaining: ptr(span("1 day"))})},
		"nothing left":              {scheduler.ErrImpossible, "remaining", record(scheduler.Fact{Step: "frame", Started: when("2026-04-01"), Remaining: ptr(span("0 days"))})},
		"done before start":         {scheduler.ErrImpossible, "done", record(scheduler.Fact{Step: "frame", Started: when("2026-04-02"), Done: when("2026-04-01")})},
		"done an hour before start": {scheduler.ErrImpossible, "done", record(scheduler.Fact{Step: "frame", Started: when("2026-04-02 08:00"), Done: when("2026-04-02 07:00")})},
		"hold started":              {scheduler.ErrWrongKind, "started", record(scheduler.Fact{Step: "colour", Started: when("2026-04-01")})},
		"hold done":                 {scheduler.ErrWrongKind, "done", record(scheduler.Fact{Step: "colour", Done: when("2026-04-01")})},
		"hold with a rest":          {scheduler.ErrWrongKind, "remaining", record(scheduler.Fact{Step: "colour", Remaining: ptr(span("1 day"))})},
		"decision measured":         {scheduler.ErrWrongKind, "measured", record(scheduler.Fact{Step: "colour", Measured: ptr(1)})},
		"delivery measured":         {scheduler.ErrWrongKind, "measured", record(scheduler.Fact{Step: "windows.delivery", Measured: ptr(1)})},
		"released and refused":      {scheduler.ErrImpossible, "released", record(scheduler.Fact{Step: "colour", Released: when("2026-04-01"), Refused: when("2026-04-01")})},
		"forget nothing":            {scheduler.ErrAlready, "step", func(j *scheduler.Job) error { return j.Forget("frame") }},
		"forget nobody":             {scheduler.ErrNotFound, "step", func(j *scheduler.Job) error { return j.Forget("roof") }},
		"release of a task":         {scheduler.ErrWrongKind, "hold", release(with(seen, func(v *scheduler.Verdict) { v.Hold = "frame" }))},
		"release of nothing":        {scheduler.ErrNotFound, "step", release(with(seen, func(v *scheduler.Verdict) { v.Hold = "roof-seen" }))},
		"released by another":       {scheduler.ErrNotTheirs, "by", release(with(seen, func(v *scheduler.Verdict) { v.By = "kim" }))},
		"released by nobody":        {scheduler.ErrIncomplete, "by", release(with(seen, func(v *scheduler.Verdict) { v.By = "" }))},
		"released twice":            {scheduler.ErrAlready, "hold", func(j *scheduler.Job) error { return errors.Join(j.Release(seen), j.Release(seen)) }},
		"booked after release": {scheduler.ErrAlready, "hold", func(j *scheduler.Job) error {
			return errors.Join(j.Release(seen), j.Book("frame-seen", *when("2026-05-01"), ""))
		}},
		"refused without reason": {scheduler.ErrIncomplete, "note", func(j *scheduler.Job) error { return j.Refuse(seen) }},
		"refused by another": {scheduler.ErrNotTheirs, "by", func(j *scheduler.Job) error {
			return j.Refuse(with(seen, func(v *scheduler.Verdict) { v.By = "ida"; v.Note = "no" }))
		}},
		"measure without figure": {scheduler.ErrIncomplete, "measured", release(with(seen, func(v *scheduler.Verdict) { v.Hold = "sill"; v.By = "kim" }))},
		"measure off":            {scheduler.ErrIncomplete, "note", release(with(seen, func(v *scheduler.Verdict) { v.Hold = "sill"; v.By = "kim"; v.Measured = ptr(894) }))},
		"waiver without reason":  {scheduler.ErrIncomplete, "reason", func(j *scheduler.Job) error { return j.Waive(scheduler.Waiver{By: "ida"}) }},
		"waiver by nobody":       {scheduler.ErrIncomplete, "by", func(j *scheduler.Job) error { return j.Waive(scheduler.Waiver{Reason: "dry"}) }},
		"waived twice": {scheduler.ErrAlready, "", func(j *scheduler.Job) error {
			w := scheduler.Waiver{By: "ida", Reason: "dry"}
			return errors.Join(j.Waive(w), j.Waive(w))
		}},
		"unwaive nothing":        {scheduler.ErrNotFound, "", func(j *scheduler.Job) error { return j.Unwaive(scheduler.Point{}, scheduler.Point{}) }},
		"pin of nothing":         {scheduler.ErrNotFound, "step", pin(scheduler.Pin{Step: "roof", On: ptr(day("2026-05-01")), By: "ida", Reason: "crane"})},
		"pin by nobody":          {scheduler.ErrIncomplete, "by", pin(scheduler.Pin{Step: "frame", On: ptr(day("2026-05-01")), Reason: "crane"})},
		"pin without reason":     {scheduler.ErrIncomplete, "reason", pin(scheduler.Pin{Step: "frame", On: ptr(day("2026-05-01")), By: "ida"})},
		"pin without day":        {scheduler.ErrIncomplete, "", pin(scheduler.Pin{Step: "frame", By: "ida", Reason: "crane"})},
		"pin with two days":      {scheduler.ErrImpossible, "", pin(scheduler.Pin{Step: "frame", On: ptr(day("2026-05-01")), NotBefore: ptr(day("2026-05-01")), By: "ida", Reason: "crane"})},
		"unpin nothing":          {scheduler.ErrNotFound, "step", func(j *scheduler.Job) error { return j.Unpin("frame") }},
		"aside of nothing":       {scheduler.ErrIncomplete, "alert", aside(scheduler.Aside{By: "ida", Reason: "known"})},
		"aside without reason":   {scheduler.ErrIncomplete, "reason", aside(scheduler.Aside{Alert: "loose end: frame", By: "ida"})},
		"aside by a stranger":    {scheduler.ErrNotFound, "by", aside(scheduler.Aside{Alert: "loose end: frame", By: "eve", Reason: "known"})},
		"bring back nothing":     {scheduler.ErrNotFound, "alert", func(j *scheduler.Job) error { return j.BringBack("loose end: frame") }},
		"length of one instance": {scheduler.ErrWrongKind, "step", func(j *scheduler.Job) error { return j.SetTakes("n1.pan", span("1 day")) }},
		"length of nothing":      {scheduler.ErrNotFound, "step", func(j *scheduler.Job) error { return j.SetTakes("roof", span("1 day")) }},
		"no crews":               {scheduler.ErrImpossible, "crews", func(j *scheduler.Job) error { return j.SetCrews("framing", 0) }},
		"crews of nobody":        {scheduler.ErrNotFound, "trade", func(j *scheduler.Job) error { return j.SetCrews("roofing", 1) }},
		"days off of nobody":     {scheduler.ErrNotFound, "trade", func(j *scheduler.Job) error { return j.SetOff("roofing", nil) }},
		"days off backwards": {scheduler.ErrImpossible, "off", func(j *scheduler.Job) error {
			return j.SetOff("framing", []scheduler.Closure{{From: day("2026-05-02"), To: day("2026-05-01")}})
		}},
		"due without name": {scheduler.ErrIncomplete, "id", func(j *scheduler.Job) error { return j.SetDue(scheduler.Due{Step: "frame"}) }},
		"due of nothing":   {scheduler.ErrNotFound, "step", func(j *scheduler.Job) error { return j.SetDue(scheduler.Due{ID: "up", Step: "roof"}) }},
		"drop no due":      {scheduler.ErrNotFound, "due", func(j *scheduler.Job) error { return j.DropDue("up") }},
		"as of before facts": {scheduler.ErrImpossible, "as_of", func(j *scheduler.Job) error {
			return errors.Join(record(scheduler.Fact{Step: "frame", Done: when("2026-04-02")})(j), j.SetAsOf(ptr(day("2026-04-01"))))
		}},
		"as of far away":        {scheduler.ErrImpossible, "as_of", func(j *scheduler.Job) error { return j.SetAsOf(ptr(day("2099-01-01"))) }},
		"planned from far away": {scheduler.ErrImpossible, "as_of", func(j *scheduler.Job) error { return j.PlanFrom(day("1999-01-01")) }},
		"fact ahead": {scheduler.ErrImpossible, "", func(*scheduler.Job) error {
			return scheduler.Fact{Step: "frame", Started: when("2026-04-02"), Done: when("2026-04-05")}.NotAfter(day("2026-04-04"))
		}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			j := small()
			err := c.do(j)
			var refusal *scheduler.Refusal
			if !errors.Is(err, c.kind) || !errors.As(err, &refusal) {
				t.Fatalf("got %v, want a refusal that is %v", err, c.kind)
			}
			if refusal.Field != c.field || refusal.What == "" || refusal.Error() == "" {
				t.Fatalf("field %q, what %q", refusal.Field, refusal.What)
			}
			if joined, ok := err.(interface{ Unwrap() []error }); ok && len(joined.Unwrap()) > 0 {
				return // the first of two commands went through
			}
			if d := cmp.Diff(small(), j); d != "" {
				t.Fatalf("a refused command changed the job: %s", d)
			}
		})
	}
}

func record(f scheduler.Fact) func(*scheduler.Job) error {
	return func(j *scheduler.Job) error { return j.Record(f) }
}

func release(v scheduler.Verdict) func(*scheduler.Job) error {
	return func(j *scheduler.Job) error { return j.Release(v) }
}

func pin(p scheduler.Pin) func(*scheduler.Job) error {
	return func(j *scheduler.Job) error { return j.Pin(p) }
}

func aside(a scheduler.Aside) func(*scheduler.Job) error {
	return func(j *scheduler.Job) error { return j.SetAside(a) }
}

func TestAmendments(t *testing.T) {
	j := small()
	for step, takes := range map[scheduler.ID]string{
		"frame": "5 days", "colour": "1 hour", "windows.making": "6 weeks", "windows.delivery": "3 hours",
		"openings.pan": "6 hours", "openings.ready": "1 hour",
	} {
		must(t, j.SetTakes(step, span(takes)))
	}
	got := []worktime.Span{
		j.Tasks[0].Takes, j.Holds[2].Takes, j.Orders[0].Stages[0].Takes, j.Orders[0].Unload,
		j.Typicals[0].Tasks[0].Takes, j.Typicals[0].Holds[0].Takes,
	}
	want := []worktime.Span{span("5 days"), span("1 hour"), span("6 weeks"), span("3 hours"), span("6 hours"), span("1 hour")}
	if d := cmp.Diff(want, got); d != "" {
		t.Fatal(d)
	}
	must(t, j.SetCrews("framing", 3))
	must(t, j.SetOff("framing", []scheduler.Closure{{From: day("2026-05-01"), To: day("2026-05-01"), Why: "fair"}}))
	if j.Trades[0].Crews != 3 || len(j.Trades[0].Off) != 1 {
		t.Fatalf("trade %+v", j.Trades[0])
	}
	must(t, j.SetDue(scheduler.Due{ID: "up", Step: "frame", On: day("2026-06-01")}))
	must(t, j.SetDue(scheduler.Due{ID: "up", Step: "frame", On: day("2026-06-08")}))
	if len(j.Dues) != 1 || j.Dues[0].On != day("2026-06-08") {
		t.Fatalf("dues %+v", j.Dues)
	}
	must(t, j.DropDue("up"))
	must(t, j.SetAsOf(ptr(day("2026-04-13"))))
	must(t, j.SetAsOf(nil))
	if len(j.Dues) != 0 || j.AsOf != nil {
		t.Fatalf("dues %+v, as of %v", j.Dues, j.AsOf)
	}
}

func TestWaivePinAndAside(t *testing.T) {
	j := small()
	from, to := scheduler.Point{Step: "frame", End: scheduler.Finish}, scheduler.Point{Step: "frame-seen"}
	must(t, j.Waive(scheduler.Waiver{From: from, To: to, By: "ida", Reason: "seen from outside"}))
	must(t, j.Unwaive(from, to))
	must(t, j.Pin(scheduler.Pin{Step: "frame", On: ptr(day("2026-05-01")), By: "ida", Reason: "crane"}))
	must(t, j.Pin(scheduler.Pin{Step: "frame", NotBefore: ptr(day("2026-05-04")), By: "ida", Reason: "no crane"}))
	if len(j.Pins) != 1 || j.Pins[0].On != nil {
		t.Fatalf("pins %+v", j.Pins)
	}
	must(t, j.Unpin("frame"))
	must(t, j.SetAside(scheduler.Aside{Alert: "loose end: frame", By: "kim", Reason: "known"}))
	must(t, j.SetAside(scheduler.Aside{Alert: "loose end: frame", By: "kim", Reason: "by design"}))
	if len(j.Asides) != 1 || j.Asides[0].Reason != "by design" {
		t.Fatalf("asides %+v", j.Asides)
	}
	must(t, j.BringBack("loose end: frame"))
	if len(j.Waivers)+len(j.Pins)+len(j.Asides) != 0 {
		t.Fatal("something is left")
	}
}
