package office

import (
	"errors"

	"gaugerod/scheduler/network"
	"gaugerod/scheduler/odds"
)

// oddsKey is under what the odds of a plan are kept beside its sheet.
type oddsKey struct{}

// triedOdds is the odds, or why there are none.
type triedOdds struct {
	odds *odds.Odds
	err  error
}

// Odds is how likely the days of the plan are, tried when it is first asked for. Errors:
// odds.ErrUnsettled and network.ErrBeyond, where it cannot be tried.
func (s *Sheet) Odds() (*odds.Odds, error) {
	is := s.Beside.Once(oddsKey{}, func() any {
		o, err := odds.Of(s.Network, s.Plan)
		return triedOdds{o, err}
	}).(triedOdds)
	return is.odds, is.err
}

// NoOdds says in words why a plan cannot be tried; empty where err is of another kind.
func NoOdds(err error) string {
	switch {
	case errors.Is(err, odds.ErrUnsettled):
		return "The plan has statements that contradict each other, so there is no order of work to try. Mend these first."
	case errors.Is(err, network.ErrBeyond):
		return "Some of the tries run on for so long that there is no calendar for them."
	}
	return ""
}
