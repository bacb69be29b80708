package jobfile

import (
	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// single is a list of names of which there is one, written as that one.
var single = codec[[]scheduler.ID]{
	blank: func(ids []scheduler.ID) bool { return len(ids) != 1 },
	read: func(r *reader, at spot, n *yaml.Node, into *[]scheduler.ID) bool {
		var id scheduler.ID
		if !name.read(r, at, n, &id) {
			return false
		}
		*into = append(*into, id)
		return true
	},
	write: func(ids []scheduler.ID) *yaml.Node { return name.write(ids[0]) },
}

// several is the same list when there are more.
var several = func() codec[[]scheduler.ID] {
	c := names
	c.blank = func(ids []scheduler.ID) bool { return len(ids) < 2 }
	return c
}()

// eitherNumber says that one and several are not written both.
var eitherNumber = [][]string{{"trade", "trades"}, {"place", "places"}}

var weatherTable = table[scheduler.Weather]{
	name: "weather",
	keys: []key[scheduler.Weather]{
		may("dry", yes, func(w *scheduler.Weather) *bool { return &w.Dry }),
		may("wind-below", optional(number), func(w *scheduler.Weather) **int { return &w.WindBelow }),
		may("min-temperature", optional(number), func(w *scheduler.Weather) **int { return &w.MinTemperature }),
	},
}

var weather = optional(mapping(&weatherTable, func(scheduler.Weather) bool { return false }))

// workers are the keys that say who does the work and where.
func workers[T any](work func(*T) *scheduler.Work) []key[T] {
	return []key[T]{
		may("trade", single, func(t *T) *[]scheduler.ID { return &work(t).Trades }),
		may("trades", several, func(t *T) *[]scheduler.ID { return &work(t).Trades }),
		may("crews", count(1), func(t *T) *int { return &work(t).Crews }),
		may("place", single, func(t *T) *[]scheduler.ID { return &work(t).Places }),
		may("places", several, func(t *T) *[]scheduler.ID { return &work(t).Places }),
	}
}

// conditions are the keys that say what the work needs besides.
func conditions[T any](work func(*T) *scheduler.Work) []key[T] {
	return []key[T]{
		may("alone", yes, func(t *T) *bool { return &work(t).Alone }),
		may("gear", names, func(t *T) *[]scheduler.ID { return &work(t).Gear }),
		may("weather", weather, func(t *T) **scheduler.Weather { return &work(t).Weather }),
		may("cautions", words[scheduler.Caution](), func(t *T) *[]scheduler.Caution { return &work(t).Cautions }),
	}
}

// spread are the keys that say how well and how badly work may go.
func spread[T any](of func(*T) *scheduler.Spread) []key[T] {
	return []key[T]{
		may("at-best", span, func(t *T) *worktime.Span { return &of(t).Best }),
		may("at-worst", span, func(t *T) *worktime.Span { return &of(t).Worst }),
	}
}

func takes[T any](work func(*T) *scheduler.Work) func(*T) *worktime.Span {
	return func(t *T) *worktime.Span { return &work(t).Takes }
}
