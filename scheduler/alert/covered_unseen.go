package alert

import (
	"fmt"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// coveredUnseen: what a hold point was to see is covered, by recorded work, before
// it was released: grave. Or it is about to be: the covering work is planned within
// 5 working days and the hold point is not released: act. Covering is a wait from a
// hold point (no delivery) with the reason buried, as build-ups make them.
func (v *view) coveredUnseen(broken []brokenWait) {
	layers := map[[2]scheduler.ID]*scheduler.Cover{}
	for k := range v.net.Covers {
		c := &v.net.Covers[k]
		for _, hold := range c.Seen {
			layers[[2]scheduler.ID{hold, c.CoveredBy}] = c
		}
	}
	for k := range broken {
		if b := &broken[k]; v.coversUnseen(b) {
			v.add(v.covered(b, layers[[2]scheduler.ID{b.from.ID, b.to.ID}]))
		}
	}
	for k := range v.net.Waits {
		w := &v.net.Waits[k]
		if v.net.Waived[k] || w.Reason != scheduler.Buried {
			continue
		}
		v.aboutToBeCovered(w, layers[[2]scheduler.ID{w.From.Step, w.To.Step}])
	}
}

// coversUnseen tells a breach of this kind from one of mere order.
func (v *view) coversUnseen(b *brokenWait) bool {
	return b.breach != short && b.wait.Reason == scheduler.Buried && v.isGate(b.from.ID)
}

// isGate says whether a step is a hold point at which something is looked at.
func (v *view) isGate(id scheduler.ID) bool {
	k, ok := v.net.Find(id)
	return ok && v.net.Steps[k].Kind == scheduler.HoldStep && v.net.Steps[k].HoldKind != scheduler.Delivery
}

func (v *view) covered(b *brokenWait, c *scheduler.Cover) scheduler.Alert {
	released := "is not released"
	if b.breach == reversed {
		released = "was released only on " + v.onUnlike(b.after.at, b.at.at)
	}
	what := ""
	if c != nil {
		what = " over " + c.LayerName + " at " + v.place(c.Place)
	}
	return scheduler.Alert{
		Key:  key(scheduler.CoveredUnseen, b.from.ID, b.to.ID),
		Kind: scheduler.CoveredUnseen, Severity: scheduler.Grave,
		Steps: []scheduler.ID{b.from.ID, b.to.ID}, Places: b.to.Places, Trades: b.to.Trades,
		People: v.releaser(b.from.ID), Days: []worktime.Date{v.date(b.at.at)},
		Sentence: fmt.Sprintf("%s went on%s on %s, and %s, which had to see what it covers, %s.",
			v.called(b.to.ID), what, v.when(b), v.called(b.from.ID), released),
		Remedy: cautioned(fmt.Sprintf("Stop there; ask %s whether it has to be opened up, and record the answer.",
			v.releaserName(b.from.ID)), b.to, b.from),
	}
}

func (v *view) aboutToBeCovered(w *scheduler.Wait, c *scheduler.Cover) {
	hold, cover := v.step(w.From.Step), v.step(w.To.Step)
	if hold == nil || cover == nil || !v.isGate(hold.ID) || done(hold) || started(cover) || cover.Start.After(v.ahead(coverAhead)) {
		return
	}
	what := "what it has to see"
	if c != nil {
		what = c.LayerName + " at " + v.place(c.Place)
	}
	v.add(scheduler.Alert{
		Key:  key(scheduler.CoveredUnseen, "soon", hold.ID, cover.ID),
		Kind: scheduler.CoveredUnseen, Severity: scheduler.Act,
		Steps: []scheduler.ID{hold.ID, cover.ID}, Places: cover.Places, Trades: cover.Trades,
		People: v.releaser(hold.ID), Days: []worktime.Date{v.date(cover.Start)},
		Sentence: fmt.Sprintf("%s is not released, and %s is to cover %s on %s.",
			v.called(hold.ID), v.called(cover.ID), what, v.onTime(cover.Start)),
		Remedy: cautioned(fmt.Sprintf("Get %s to see it before then; until it is released it must stay open.",
			v.releaserName(hold.ID)), hold, cover),
	})
}

func (v *view) releaser(hold scheduler.ID) []scheduler.ID {
	k, _ := v.net.Find(hold)
	return v.person(v.net.Steps[k].By)
}

func (v *view) releaserName(hold scheduler.ID) string {
	k, _ := v.net.Find(hold)
	return v.whoOr(v.net.Steps[k].By, "whoever is to release it")
}
