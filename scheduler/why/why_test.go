package why_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"gaugerod/scheduler"
	"gaugerod/scheduler/why"
)

func chained() *scheduler.Plan {
	at := time.Date(2026, 5, 18, 7, 30, 0, 0, time.UTC)
	return &scheduler.Plan{Steps: []scheduler.PlannedStep{
		{
			ID: "pour", Title: "Pour", Start: at, Finish: at.Add(time.Hour),
			Drivers: []scheduler.Driver{{Kind: scheduler.ByAsOf, Text: "what is not done lies after Mon 18 May 2026"}},
		},
		{
			ID: "strip", Title: "Strip", Start: at.Add(24 * time.Hour), Finish: at.Add(25 * time.Hour),
			Drivers: []scheduler.Driver{
				{Kind: scheduler.ByAsOf, Text: "the day begins"},
				{Kind: scheduler.ByWait, Step: "pour", Text: "12 elapsed hours must pass (cure)"},
			},
		},
		{ID: "round", Title: "Round", Drivers: []scheduler.Driver{{Kind: scheduler.ByWait, Step: "round", Text: "it waits for itself"}}},
	}}
}

func TestChainGoesBackToAsOf(t *testing.T) {
	chain, err := why.Chain(chained(), "strip")
	if err != nil {
		t.Fatal(err)
	}
	if len(chain) != 2 || chain[0].Next != "pour" || chain[1].Next != "" {
		t.Fatalf("chain is %+v", chain)
	}
	if chain[0].Held[0].Step != "pour" {
		t.Errorf("the driver that is followed comes first, got %+v", chain[0].Held)
	}
	got := chain[0].Sentence()
	want := "“Strip” is planned from Tue 19 May 2026, 07:30 to Tue 19 May 2026, 08:30 because 12 elapsed hours must pass (cure); also the day begins."
	if got != want {
		t.Errorf("sentence is\n%s, want\n%s", got, want)
	}
}

func TestChainEndsOnItself(t *testing.T) {
	chain, err := why.Chain(chained(), "round")
	if err != nil || len(chain) != 1 {
		t.Fatalf("chain is %+v, %v", chain, err)
	}
}

func TestChainOfNothing(t *testing.T) {
	if _, err := why.Chain(chained(), "nobody"); !errors.Is(err, scheduler.ErrNotFound) || !strings.Contains(err.Error(), "nobody") {
		t.Errorf("error is %v", err)
	}
}
