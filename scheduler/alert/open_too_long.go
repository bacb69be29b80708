package alert

import (
	"fmt"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// openTooLong: the most time between two points, an exposure limit above all, is
// exceeded by recorded work or will be as planned: grave. More than 80 % of it has
// gone and the end has not come: act. An exposure limit of which the plan uses more
// than 80 %, nothing being laid yet: note. Days recorded without a time of day are
// read in favour of the work.
func (v *view) openTooLong() {
	for k := range v.net.Waits {
		w := &v.net.Waits[k]
		if w.Most == nil || v.net.Waived[k] {
			continue
		}
		if a, ok := v.open(w); ok {
			v.add(a)
		}
	}
}

func (v *view) open(w *scheduler.Wait) (scheduler.Alert, bool) {
	from, to := v.step(w.From.Step), v.step(w.To.Step)
	if from == nil || to == nil {
		return scheduler.Alert{}, false
	}
	most, elapsed := v.job.Minutes(*w.Most), w.Most.Elapsed()
	began, hasBegun := v.recorded(w.From)
	if !hasBegun {
		began.at = end(from, w.From.End)
		began.late = began.at
	}
	ended, hasEnded := v.recorded(w.To)
	if !hasEnded {
		ended.at = end(to, w.To.End)
		ended.early = ended.at
	}
	a := v.openAlert(w, to, v.limitDay(began.at, *w.Most))
	used := v.between(began.late, v.asOf, elapsed)
	planned := v.between(began.late, ended.early, elapsed)
	subject := v.between(began.at, ended.at, elapsed)
	switch {
	case hasEnded && planned > most:
		a.Sentence = fmt.Sprintf("%s between %s (%s) and %s (%s): more than the %s allowed.", v.length(subject, elapsed),
			v.pointWords(w.From), v.onTime(began.at), v.pointWords(w.To), v.onTime(ended.at), w.Most)
		a.Remedy = "Look whether what stood open suffered, with the maker's sheet at hand, and record what was found."
	case hasEnded:
		return a, false
	case hasBegun && used > most:
		a.Sentence = fmt.Sprintf("%s since %s on %s: more than the %s allowed before %s.", v.length(used, elapsed),
			v.pointWords(w.From), v.onTime(began.at), w.Most, v.pointWords(w.To))
		a.Remedy = fmt.Sprintf("Protect it now, look whether it suffered, then bring %s.", v.called(to.ID))
	case planned > most:
		a.Sentence = fmt.Sprintf("As planned, %s lie between %s on %s and %s on %s: more than the %s allowed.", v.length(subject, elapsed),
			v.pointWords(w.From), v.onTime(began.at), v.pointWords(w.To), v.onTime(ended.at), w.Most)
		a.Remedy = fmt.Sprintf("Bring %s forward, or protect it meanwhile.", v.called(to.ID))
	case hasBegun && used*100 > most*usedPercent:
		v.milder(&a, w, scheduler.Act)
		a.Sentence = fmt.Sprintf("%d %% of the %s allowed after %s has gone; %s must come by %s.",
			used*100/most, w.Most, v.pointWords(w.From), v.pointWords(w.To), v.on(a.Days[0]))
		a.Remedy = fmt.Sprintf("Keep %s on its day, or protect it meanwhile.", v.called(to.ID))
	case !hasBegun && w.Reason == scheduler.Exposure && planned*100 > most*usedPercent:
		v.milder(&a, w, scheduler.Note)
		a.Sentence = fmt.Sprintf("The plan uses %d %% of the %s allowed between %s and %s.",
			planned*100/most, w.Most, v.pointWords(w.From), v.pointWords(w.To))
		a.Remedy = fmt.Sprintf("Start %s later, or bring %s forward.", v.called(from.ID), v.called(to.ID))
	default:
		return a, false
	}
	return a, true
}

// openAlert is a grave one, not yet in words.
func (v *view) openAlert(w *scheduler.Wait, to *scheduler.PlannedStep, limit worktime.Date) scheduler.Alert {
	return scheduler.Alert{
		Key:  graver(key(scheduler.OpenTooLong, w.From.Step, w.To.Step)),
		Kind: scheduler.OpenTooLong, Severity: scheduler.Grave,
		Steps: []scheduler.ID{w.From.Step, w.To.Step}, Places: to.Places, Trades: to.Trades,
		Days: []worktime.Date{limit},
	}
}

func (v *view) milder(a *scheduler.Alert, w *scheduler.Wait, s scheduler.Severity) {
	a.Severity, a.Key = s, key(scheduler.OpenTooLong, w.From.Step, w.To.Step)
}

// limitDay is the last day on which the end may come.
func (v *view) limitDay(from time.Time, most worktime.Span) worktime.Date {
	minutes := v.job.Minutes(most)
	if most.Elapsed() {
		return v.date(from.Add(time.Duration(minutes) * time.Minute))
	}
	at := v.site.First(v.site.Work(worktime.FromTime(from)) + minutes)
	if !at.Known() {
		return v.date(from)
	}
	return at.Date(v.zone)
}

func end(s *scheduler.PlannedStep, e scheduler.End) time.Time {
	if e == scheduler.Start {
		return s.Start
	}
	return s.Finish
}

// pointWords is "the start of “Tape the joints”".
func (v *view) pointWords(p scheduler.Point) string {
	return "the " + p.End.String() + " of " + v.called(p.Step)
}
