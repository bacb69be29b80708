package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// measuresOff: what was measured lies further from what it should be than is
// allowed. Grave where it was released all the same or something that waits for it
// has begun; otherwise act.
func (v *view) measuresOff() {
	for k := range v.job.Facts {
		f := &v.job.Facts[k]
		if v.measuredOff(f.Step) {
			v.add(v.measureOff(f))
		}
	}
}

// measuredOff says whether a measure was recorded outside its tolerance.
func (v *view) measuredOff(id scheduler.ID) bool {
	k, ok := v.net.Find(id)
	f := v.facts[id]
	if !ok || f == nil || f.Measured == nil || v.net.Steps[k].Nominal == nil {
		return false
	}
	off := *f.Measured - *v.net.Steps[k].Nominal
	return max(off, -off) > v.net.Steps[k].Tolerance
}

func (v *view) measureOff(f *scheduler.Fact) scheduler.Alert {
	n, _ := v.net.Find(f.Step)
	s := &v.net.Steps[n]
	off, way := *f.Measured-*s.Nominal, "over"
	if off < 0 {
		off, way = -off, "under"
	}
	a := scheduler.Alert{
		Key: key(scheduler.MeasureOff, s.ID), Kind: scheduler.MeasureOff, Severity: scheduler.Act,
		Steps: []scheduler.ID{s.ID}, Places: s.Places, Trades: s.Trades, People: v.person(s.By),
		Days: []worktime.Date{v.measuredOn(f)},
		Sentence: fmt.Sprintf("%s was found to be %d mm, %d mm %s the %d mm it should be; %d mm is allowed.",
			v.called(s.ID), *f.Measured, off, way, *s.Nominal, s.Tolerance),
		Remedy: fmt.Sprintf("Mend it and measure again, or ask %s and the maker whether it can be lived with, and record the answer.",
			v.whoOr(s.By, "the designer")),
	}
	relied := v.relyOn(n)
	if p := v.planned[n]; p != nil && done(p) {
		relied = append([]string{"it was released all the same"}, relied...)
	}
	if len(relied) > 0 {
		a.Key, a.Severity = graver(a.Key), scheduler.Grave
		a.Sentence = a.Sentence[:len(a.Sentence)-1] + ", and " + some(relied, 2) + "."
	}
	return a
}

// relyOn is the steps that wait for a hold point and have begun.
func (v *view) relyOn(step int) []string {
	var words []string
	for _, w := range v.out.at(step) {
		if to := v.step(v.net.Waits[w].To.Step); to != nil && started(to) {
			words = append(words, v.called(to.ID)+" has begun")
		}
	}
	return words
}

func (v *view) measuredOn(f *scheduler.Fact) worktime.Date {
	switch {
	case f.Released != nil:
		return f.Released.Day
	case f.Refused != nil:
		return f.Refused.Day
	case f.Done != nil:
		return f.Done.Day
	}
	return v.today
}
