package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// tooSoon: recorded work that came after what it waits for but before the least
// time had passed, a cure above all. Grave where the record leaves no doubt; act
// where only days were recorded and the times of day decide.
func (v *view) tooSoon(broken []brokenWait) {
	for k := range broken {
		if b := &broken[k]; b.breach == short {
			v.add(v.soon(b))
		}
	}
}

func (v *view) soon(b *brokenWait) scheduler.Alert {
	k := key(scheduler.TooSoon, b.from.ID, b.to.ID)
	elapsed := b.wait.Least.Elapsed()
	because := ""
	if b.wait.Reason == scheduler.Cure {
		because = " to cure"
	}
	a := scheduler.Alert{
		Key: graver(k), Kind: scheduler.TooSoon, Severity: scheduler.Grave,
		Steps: []scheduler.ID{b.from.ID, b.to.ID}, Places: b.to.Places, Trades: b.to.Trades,
		Days: []worktime.Date{v.date(b.at.at)},
		Sentence: fmt.Sprintf("%s came on %s, %s after %s, which needs %s%s.",
			v.called(b.to.ID), v.onTime(b.at.at), v.length(b.gap, elapsed), v.called(b.from.ID), b.wait.Least, because),
		Remedy: cautioned(fmt.Sprintf("Stop %s and look at what lies under it, with the maker's sheet at hand.", v.called(b.to.ID)), b.to, b.from),
	}
	if b.doubtful {
		a.Key, a.Severity = k, scheduler.Act
		a.Sentence = fmt.Sprintf("%s came on %s and %s on %s; only the times of day can say whether the %s%s were kept.",
			v.called(b.from.ID), v.onTime(b.after.at), v.called(b.to.ID), v.onTime(b.at.at), b.wait.Least, because)
		a.Remedy = "Write down the times of day; if it was too soon, look at what lies under it."
	}
	return a
}
