package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// outOfOrder: recorded work that began or ended before what it should have waited
// for. Where it buries what should have come first: grave. Where what should have
// come first is still to do: act. Where both have happened since: note. What covers
// a hold point's view is told apart (covered before release); a waived wait is no
// breach.
func (v *view) outOfOrder(broken []brokenWait) {
	buried := map[[2]scheduler.ID]*scheduler.Cover{}
	for k := range v.net.Covers {
		c := &v.net.Covers[k]
		buried[[2]scheduler.ID{c.Step, c.CoveredBy}] = c
	}
	for k := range broken {
		b := &broken[k]
		if b.breach == short || v.coversUnseen(b) {
			continue
		}
		v.add(v.reversedOrder(b, buried[[2]scheduler.ID{b.from.ID, b.to.ID}]))
	}
}

func (v *view) reversedOrder(b *brokenWait, c *scheduler.Cover) scheduler.Alert {
	k := key(scheduler.OutOfOrder, b.from.ID, b.to.ID)
	a := scheduler.Alert{
		Key: k, Kind: scheduler.OutOfOrder, Severity: scheduler.Act,
		Steps: []scheduler.ID{b.from.ID, b.to.ID}, Places: b.to.Places,
		Trades: unique(append(append([]scheduler.ID{}, b.from.Trades...), b.to.Trades...)),
		Days:   []worktime.Date{v.date(b.at.at)},
	}
	verb := map[scheduler.End]string{scheduler.Start: "was started", scheduler.Finish: "was finished"}[b.wait.To.End]
	if b.to.Kind == scheduler.HoldStep && done(b.to) {
		verb = "was released"
	}
	a.Sentence = fmt.Sprintf("%s %s on %s, and %s%s",
		v.called(b.to.ID), verb, v.when(b), v.called(b.from.ID), v.notFirst(b))
	switch {
	case b.wait.Reason == scheduler.Buried || c != nil:
		a.Key, a.Severity = graver(k), scheduler.Grave
		a.Sentence += ", which is now buried"
		if c != nil {
			a.Sentence += " with " + c.LayerName + " at " + v.place(c.Place)
		}
		a.Remedy = cautioned(fmt.Sprintf("Stop %s there; open up as far as %s needs, or waive the wait with a reason.",
			v.called(b.to.ID), v.called(b.from.ID)), b.to, b.from)
	case b.breach == unfinished:
		a.Remedy = cautioned(fmt.Sprintf("Bring %s to that point before the rest of %s goes on, or waive the wait with a reason.",
			v.called(b.from.ID), v.called(b.to.ID)), b.to, b.from)
	default:
		a.Severity = scheduler.Note
		a.Remedy = cautioned(fmt.Sprintf("Look whether %s suffered; waive the wait with a reason if it did not.", v.called(b.to.ID)), b.to, b.from)
	}
	a.Sentence += "."
	return a
}

// when is the day of what came too early, with the time where both came on one day.
func (v *view) when(b *brokenWait) string {
	if b.breach == unfinished {
		return v.onTime(b.at.at)
	}
	return v.onUnlike(b.at.at, b.after.at)
}

// notFirst says how what should have come first failed to.
func (v *view) notFirst(b *brokenWait) string {
	should := ", which should have come first,"
	if b.breach == reversed {
		end := map[scheduler.End]string{scheduler.Start: " was started", scheduler.Finish: " was done"}[b.wait.From.End]
		if b.from.Kind == scheduler.HoldStep {
			end = " was released"
		}
		return should + end + " only on " + v.onUnlike(b.after.at, b.at.at)
	}
	switch {
	case b.from.Kind == scheduler.HoldStep && b.from.State == scheduler.Refused:
		return should + " was refused"
	case b.from.Kind == scheduler.HoldStep:
		return should + " is not released"
	case b.wait.From.End == scheduler.Finish && b.from.State == scheduler.Underway:
		return should + " is not finished"
	}
	return should + " is not begun"
}
