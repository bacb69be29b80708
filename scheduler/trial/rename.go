package trial

import (
	"slices"
	"strings"

	"gaugerod/scheduler"
)

// Renamed is the statements as they are once things of the job are called otherwise. Those
// given stay as they are.
func Renamed(ops []Op, names scheduler.Renamed) []Op {
	all := make([]Op, len(ops))
	for k, o := range ops {
		all[k] = o.renamed(names)
	}
	return all
}

func (o Op) renamed(names scheduler.Renamed) Op {
	switch {
	case o.Takes != nil:
		c := *o.Takes
		c.Step = now(names.Steps, c.Step)
		o.Takes = &c
	case o.Crews != nil:
		c := *o.Crews
		c.Trade = now(names.Trades, c.Trade)
		o.Crews = &c
	case o.Expected != nil:
		c := *o.Expected
		c.Step = now(names.Steps, c.Step)
		o.Expected = &c
	case o.Pin != nil:
		c := *o.Pin
		c.Step, c.By = now(names.Steps, c.Step), now(names.People, c.By)
		o.Pin = &c
	case o.Off != nil:
		c := *o.Off
		c.Trade = now(names.Trades, c.Trade)
		o.Off = &c
	case o.Layer != nil:
		c := *o.Layer
		layer := func(id scheduler.ID) scheduler.ID {
			if is, ok := names.Layers[c.BuildUp+"."+id]; ok {
				return is[strings.LastIndexByte(string(is), '.')+1:]
			}
			return id
		}
		c.Layer, c.After = layer(c.Layer), layer(c.After)
		c.BuildUp = now(names.BuildUps, c.BuildUp)
		o.Layer = &c
	}
	return o
}

// now is what something is called now.
func now(names map[scheduler.ID]scheduler.ID, was scheduler.ID) scheduler.ID {
	if is, ok := names[was]; ok {
		return is
	}
	return was
}

// Speaks says whether a statement has a name in the words of a job file, where it cannot
// be told from other words and so is not given another.
func (o Op) Speaks(name scheduler.ID) bool {
	if o.Put == nil {
		return false
	}
	words := strings.FieldsFunc(strings.Join(o.Put.Path, " ")+" "+o.Put.Text, func(r rune) bool {
		return r != '-' && (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	return slices.Contains(words, string(name))
}
