package web

import (
	"gaugerod/api/rights"
	"gaugerod/scheduler"
)

// kindOf is one kind of thing that a job is made of, with what its form asks. The forms
// are made from these descriptions; what is typed is read as the job file is.
type kindOf struct {
	section   string // of the job file; also in the address
	one, many string
	says      string // what such a thing is, in a sentence
	unnamed   bool   // its things have no name of their own
	named     scheduler.NameKind
	order     string // what it means that one stands before another; empty: nothing
	fields    []asked
	atFirst   []asked  // asked of a new thing besides
	parts     []kindOf // things within the thing, each with a form of its own
}

// asked is one thing that a form asks for.
type asked struct {
	key, label, hint string
	input            input
	from             string  // what is chosen from
	single           string  // the key under which one alone is written
	must             bool    // the browser asks for it
	rows             []asked // what each row asks for
	named            bool    // rows have names
}

type input uint8

const (
	aText   input = iota
	aLong         // several lines
	aNumber       // a whole number
	aDay
	aYes
	aChoice // one of a list
	aStep   // the name of a step
	aChosen // several of a list
	aWords  // several words with commas between
	aPoint  // one end of a step, under its own key
	aEnd    // one end of a step, in place of a key
	aRows
)

const lengthHint = "for instance 3 days, 4 hours, 24 elapsed hours"

var (
	titleAsked = asked{key: "title", label: "Title", hint: "as people on site would say it", must: true}
	noteAsked  = asked{key: "note", label: "Note", input: aLong}
	sourceAsks = asked{key: "source", label: "Source of the figure", hint: "a published one, or: common practice, no source"}
	daysOff    = []asked{{key: "from", label: "From", input: aDay}, {key: "to", label: "To, that day too", input: aDay}, {key: "why", label: "Why"}}
	afterAsked = asked{
		key: "after", label: "It waits for", input: aRows, hint: "each line one thing that comes before; a line left empty does not count",
		rows: append([]asked{{label: "Of", input: aEnd}}, termsAsked...),
	}
	termsAsked = []asked{
		{key: "least", label: "At least later by", hint: lengthHint},
		{key: "most", label: "At most later by"},
		{key: "reason", label: "Because of", input: aChoice, from: "reasons"},
		{key: "note", label: "Note"},
		sourceAsks,
	}
	spreadAsked = []asked{
		{key: "at-best", label: "At best", hint: "left empty: no less than it takes"},
		{key: "at-worst", label: "At worst", hint: "left empty: no more than it takes"},
	}
	workersAsked = []asked{
		{key: "trades", label: "Trades", input: aChosen, from: "trades", single: "trade"},
		{key: "crews", label: "Crews of each", input: aNumber, hint: "left empty: 1"},
		{key: "places", label: "Places", input: aChosen, from: "places", single: "place"},
	}
	conditionsAsked = []asked{
		{key: "alone", label: "Nobody else in its places, or below them, meanwhile", input: aYes},
		{key: "gear", label: "Gear it holds", input: aChosen, from: "gear"},
		{key: "weather.dry", label: "Needs dry weather", input: aYes},
		{key: "weather.wind-below", label: "Wind below", input: aNumber, hint: "metres a second"},
		{key: "weather.min-temperature", label: "Not colder than", input: aNumber, hint: "degrees Celsius"},
		{key: "cautions", label: "Cautions", input: aChosen, from: "cautions"},
	}
)

func weekAsked(hint string) []asked {
	var all []asked
	for k, day := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"} {
		a := asked{key: "week." + day, label: upper(day), input: aWords}
		if k == 0 {
			a.hint = hint
		}
		all = append(all, a)
	}
	return all
}

func asks(parts ...[]asked) []asked {
	var all []asked
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

var taskAsked = asks([]asked{titleAsked}, workersAsked,
	[]asked{{key: "takes", label: "Takes", hint: lengthHint, must: true}}, spreadAsked, []asked{afterAsked}, conditionsAsked, []asked{noteAsked})

var holdAsked = asks([]asked{
	titleAsked,
	{key: "kind", label: "What it waits for", input: aChoice, from: "kinds", must: true},
	{key: "by", label: "Who releases it", input: aChoice, from: "people", must: true},
	{key: "notice", label: "To be told before", hint: lengthHint},
	{key: "witness", label: "It stands open when nobody came in time", input: aYes},
	{key: "takes", label: "Takes", hint: "left empty: the release alone"},
}, []asked{afterAsked}, workersAsked, conditionsAsked, []asked{
	{key: "nominal", label: "Measure: what it should be", input: aNumber, hint: "mm"},
	{key: "tolerance", label: "Measure: how far off it may be", input: aNumber, hint: "mm"},
	noteAsked,
})

var waitAsked = asks([]asked{{key: "from", label: "From", input: aPoint}, {key: "to", label: "To", input: aPoint}}, termsAsked)

// siteKind is what the job says of itself. It is there once.
var siteKind = kindOf{
	section: "site", one: "the job itself", many: "Title, start and working week", says: "What holds for the whole job.",
	fields: asks([]asked{
		titleAsked,
		{key: "zone", label: "Time zone", hint: "for instance Europe/Vienna", must: true},
		{key: "start", label: "Start", hint: "no work before this day", input: aDay, must: true},
		{key: "day", label: "One day of work means", hint: "for instance 8 hours; left empty: the week's longest day"},
	}, weekAsked("working times, for instance 07:30-12:00, 12:30-16:00; left empty: no work"), []asked{
		{key: "site.access", label: "How to get in", hint: "this and what follows is shown to every trade"},
		{key: "site.parking", label: "Where to park"},
		{key: "site.unloading", label: "Where to unload"},
		{key: "site.storage", label: "Where things may lie"},
		{key: "site.lifting", label: "What there is to lift with"},
		{key: "site.power", label: "Where power and water are"},
	}),
}

// kinds are all kinds of things, in the order in which a job is best set up.
var kinds = []kindOf{
	{
		section: "closures", one: "a closure", many: "Days off", says: "Days on which nobody works, both ends included.", unnamed: true,
		fields: daysOff,
	},
	{section: "people", one: "a person", many: "People", named: scheduler.PersonName, says: "Who releases, decides, answers or is told.", fields: []asked{
		{key: "name", label: "Name", must: true},
		{key: "role", label: "Role", input: aChoice, from: "roles", must: true},
		{key: "trade", label: "Of the trade", input: aChoice, from: "trades"},
	}},
	{section: "trades", one: "a trade", many: "Trades", named: scheduler.TradeName, order: "Lists and pictures have trades in this order, and their hatchings follow it.", says: "Firms and gangs that come and go.", fields: asks([]asked{
		titleAsked,
		{key: "short", label: "Short", hint: "two to four letters for pictures"},
		{key: "crews", label: "Crews at once", input: aNumber, hint: "left empty: 1"},
		{key: "notice", label: "To be told before", hint: lengthHint},
		{key: "off", label: "Days on which they do not come", input: aRows, rows: daysOff},
	}, weekAsked("working times of their own; all left empty: the site's"))},
	{section: "gear", one: "a piece of gear", many: "Gear", named: scheduler.GearName, says: "What is shared and scarce, and held while work runs.", fields: []asked{
		titleAsked, {key: "count", label: "How many there are", input: aNumber, hint: "left empty: 1"},
	}},
	{section: "places", one: "a place", many: "Places", named: scheduler.PlaceName, order: "Lists and pictures have places in this order.", says: "Parts of the building, one within the other.", fields: asks([]asked{
		titleAsked,
		{key: "within", label: "Within", input: aChoice, from: "places"},
		{key: "room", label: "Room for how many works at once", input: aNumber, hint: "left empty: no limit"},
		{key: "closures", label: "Days on which nobody works there", input: aRows, rows: daysOff},
	}, weekAsked("working times of its own; all left empty: the site's"))},
	{section: "tasks", one: "a task", many: "Tasks", named: scheduler.TaskName, order: "Lists have tasks in this order.", says: "Work by trades in places.", fields: taskAsked},
	{section: "holds", one: "a hold point", many: "Hold points", named: scheduler.HoldName, order: "Lists have them in this order.", says: "Gates: what comes after does not start until a named person has released them.", fields: holdAsked},
	{section: "orders", one: "an order", many: "Orders", named: scheduler.OrderName, order: "Lists have orders in this order.", says: "What has to be ordered long before, stage by stage to its delivery.", fields: []asked{
		titleAsked,
		{key: "supplier", label: "Supplier", input: aChoice, from: "parties"},
		{
			key: "stages", label: "Stages", input: aRows, named: true, hint: "one after the other; the delivery comes by itself at the end",
			rows: []asked{{key: "title", label: "Title"}, {key: "takes", label: "Takes", hint: lengthHint}, spreadAsked[0], spreadAsked[1], {key: "by", label: "By", input: aChoice, from: "parties"}},
		},
		afterAsked,
		{key: "receives", label: "Who receives it", input: aChoice, from: "parties"},
		{key: "places", label: "Unloaded at", input: aChosen, from: "places"},
		{key: "gear", label: "Gear for unloading", input: aChosen, from: "gear"},
		{key: "unload", label: "Unloading takes", hint: lengthHint},
		{key: "keep", label: "May lie on site for", hint: lengthHint},
		{key: "stand-in", label: "What stands in for it if it is late"},
		{key: "cautions", label: "Cautions", input: aChosen, from: "cautions"},
		noteAsked,
	}},
	{
		section: "typicals", one: "a typical", many: "Typicals", named: scheduler.TypicalName, order: "Lists and pictures have typicals in this order.", says: "Sequences written once and repeated at each of their places.",
		fields: []asked{titleAsked, {key: "places", label: "Repeated at", input: aChosen, from: "places"}},
		atFirst: []asked{{
			key: "tasks", label: "Its first tasks", input: aRows, named: true, hint: "one is enough to begin with; all else is added to them afterwards",
			rows: []asked{{key: "title", label: "Title"}, {key: "trade", label: "Trade", input: aChoice, from: "trades"}, {key: "takes", label: "Takes", hint: lengthHint}},
		}},
		parts: []kindOf{
			{section: "tasks", one: "a task", many: "Tasks of the typical", named: scheduler.TaskName, order: "Lists have them in this order.", fields: taskAsked},
			{section: "holds", one: "a hold point", many: "Hold points of the typical", named: scheduler.HoldName, order: "Lists have them in this order.", fields: holdAsked},
			{section: "waits", one: "a wait", many: "Waits of the typical", unnamed: true, fields: waitAsked},
		},
	},
	{section: "build-ups", one: "a build-up", many: "Build-ups", named: scheduler.BuildUpName, order: "The page of layers has build-ups in this order.", says: "The layers of an assembly in the order in which they are put there.", fields: []asked{
		titleAsked,
		{key: "places", label: "At", input: aChosen, from: "places"},
		{key: "outward", label: "From and to", hint: "for instance inside to outside"},
		{
			key: "layers", label: "Layers", input: aRows, named: true, hint: "the first is covered by the second, and so on",
			rows: []asked{
				{key: "title", label: "Title"},
				{key: "by", label: "Put there by", input: aStep},
				{key: "material", label: "Material"},
				{key: "thickness", label: "Thickness", input: aNumber, hint: "mm"},
				{key: "cure", label: "Cures for", hint: lengthHint},
				{key: "seen", label: "Hold points before it is covered", input: aWords, hint: "names, with commas between"},
				{key: "exposed", label: "May stay open for", hint: lengthHint},
				sourceAsks,
			},
		},
	}},
	{section: "drawings", one: "a drawing", many: "Drawings", named: scheduler.DrawingName, order: "Lists have drawings in this order.", says: "Sheets by which work is done, each with the revision that counts.", fields: []asked{
		titleAsked,
		{key: "revision", label: "Revision that counts", hint: "as it stands on the sheet; left empty: none is out yet"},
		{key: "on", label: "Sent out on", input: aDay},
		{key: "places", label: "Shows all work in", input: aChosen, from: "places"},
		{key: "steps", label: "Shows these steps", input: aWords, hint: "names, with commas between"},
	}},
	{section: "waits", one: "a wait", many: "Waits between any two ends", says: "Those that are not written with the step that waits.", unnamed: true, fields: waitAsked},
	{section: "occupations", one: "an occupation", many: "Occupations", named: scheduler.OccupationName, says: "A place or a piece of gear taken from the start of one step to the finish of another.", fields: []asked{
		titleAsked,
		{key: "place", label: "Place", input: aChoice, from: "places"},
		{key: "gear", label: "or gear", input: aChoice, from: "gear"},
		{key: "from", label: "From the start of", input: aStep, must: true},
		{key: "to", label: "To the finish of", input: aStep, must: true},
		{key: "alone", label: "Nobody else there meanwhile", input: aYes},
		{key: "admits", label: "Lets in", input: aWords, hint: "names of steps, with commas between"},
	}},
	{section: "dues", one: "a due day", many: "Due days", named: scheduler.DueName, says: "Days by whose end a step must finish.", fields: []asked{
		titleAsked, {key: "step", label: "Step", input: aStep, must: true}, {key: "on", label: "Due on", input: aDay, must: true},
	}},
	{section: "pins", one: "a pin", many: "Pins", says: "A person's word about when a step starts.", unnamed: true, fields: []asked{
		{key: "step", label: "Step", input: aStep, must: true},
		{key: "on", label: "It starts on", input: aDay},
		{key: "not-before", label: "or not before", input: aDay},
		{key: "by", label: "By", input: aChoice, from: "people"},
		{key: "reason", label: "Reason"},
	}},
}

// design says whether the designer changes such things too.
func (k *kindOf) design() bool { return rights.IsDesign(k.section) }

// findKind is the kind of a section, nil where there is none.
func findKind(all []kindOf, section string) *kindOf {
	for k := range all {
		if all[k].section == section {
			return &all[k]
		}
	}
	return nil
}
