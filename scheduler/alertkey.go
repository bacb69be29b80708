package scheduler

import "strings"

// leading are the kinds of the names with which the key of an alert begins; all others in
// it name steps.
var leading = map[AlertKind][]NameKind{
	LateOrder:        {OrderName},
	EarlyDelivery:    {OrderName}, // or a step, where the delivery is no order's
	DueMissed:        {DueName},
	TradeInTwoPlaces: {TradeName},
	ExtraVisit:       {TradeName},
	PlaceCrowded:     {PlaceName},
	ShortNotice:      {TradeName, PlaceName},
	CannotCome:       {TradeName, PlaceName},
	DrawingMissing:   {DrawingName},
	PromiseBroken:    {TradeName, PlaceName}, // after the letter of an issue, if there is one
}

// alertKey is the key of an alert after the renaming. Where the names in it stand in the
// order of the alphabet, the alert of the next plan may have them in another; then it is
// in sight again.
func (r *renaming) alertKey(key string) string {
	kind, list, ok := strings.Cut(key, ": ")
	if !ok {
		return key
	}
	kinds := leading[AlertKind(kind)]
	names := strings.Split(list, ", ")
	first := 0
	if AlertKind(kind) == PromiseBroken && r.job.FindIssue(names[0]) != nil {
		first = 1
	}
	for k, name := range names {
		switch n := k - first; {
		case n < 0:
		case n < len(kinds):
			if is := r.simple(kinds[n], ID(name)); is != ID(name) || AlertKind(kind) != EarlyDelivery {
				names[k] = string(is)
				continue
			}
			fallthrough
		default:
			names[k] = string(r.stepNow(ID(name), nil))
		}
	}
	return kind + ": " + strings.Join(names, ", ")
}
