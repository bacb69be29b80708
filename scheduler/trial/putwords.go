package trial

import (
	"cmp"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/worktime"
)

// kindWords is what people call a thing of a section.
var kindWords = map[string]string{
	"closures": "closure", "people": "person", "trades": "trade", "gear": "piece of gear", "places": "place", "tasks": "task", "holds": "hold point",
	"orders": "order", "typicals": "typical", "build-ups": "build-up", "drawings": "drawing", "waits": "wait", "occupations": "occupation", "dues": "due day", "pins": "pin",
}

// kind is what people call such a thing.
func (p *Put) kind() string {
	switch len(p.Path) {
	case 2, 4:
		return kindWords[p.Path[len(p.Path)-2]]
	}
	return "job"
}

// name is the thing's name, as far as it has one.
func (p *Put) name() string {
	if k := p.kind(); k == "wait" || k == "closure" || k == "pin" || len(p.Path) == 0 {
		return "that was there"
	}
	return p.Path[len(p.Path)-1]
}

// mostOfOne is how much is told of one thing, in letters: it is read in a list.
const mostOfOne = 200

// say is the change in words, beside the job as it is before it.
func (p *Put) say(j *scheduler.Job) string {
	was, there := jobfile.Find(j, p.Path...)
	is, err := jobfile.ParseValue(p.Text)
	if p.gone() || err != nil {
		is = jobfile.Value{}
	}
	titled := "the " + p.kind()
	if title := cmp.Or(is.Title(), was.Title()); title != "" {
		titled += " “" + title + "”"
	}
	if len(p.Path) == 4 {
		titled += " of the typical “" + cmp.Or(typicalTitle(j, scheduler.ID(p.Path[1])), p.Path[1]) + "”"
	}
	called := callings(j)
	var said []string
	switch {
	case p.gone() && len(p.Path) == 1:
		return "the job says nothing of its own of " + p.Path[0]
	case p.gone():
		return titled + " is taken out"
	case len(p.Path) == 1:
		return "the job: " + differs(p.Path[0], was, is, there, called)
	case !there:
		titled = strings.Replace(titled, "the ", "a new ", 1)
		if says := is.Says(); len(says) > 0 {
			said = []string{says.InWords(called)}
		}
	default:
		said = changes(was, is, called)
	}
	if len(said) == 0 {
		return titled
	}
	return short(titled + ": " + strings.Join(said, ", "))
}

// changes is what one value of a thing says otherwise than another, key by key.
func changes(was, is jobfile.Value, called func(key, word string) string) (said []string) {
	for _, e := range is.Keys {
		before, there := was.Find(e.Key)
		if there && before.String() == e.Value.String() {
			continue
		}
		said = append(said, differs(e.Key, before, e.Value, there, called))
	}
	for _, e := range was.Keys {
		if _, still := is.Find(e.Key); !still {
			said = append(said, "no "+worded(e.Key)+" any more")
		}
	}
	return said
}

// differs is one key in words, beside what stood there.
func differs(key string, was, is jobfile.Value, there bool, called func(key, word string) string) string {
	says := worded(key) + " " + is.InWords(key, called)
	if before := was.InWords(key, called); there && is.Is != jobfile.Keys && before != is.InWords(key, called) {
		return says + " instead of " + before
	}
	return says
}

func worded(key string) string { return strings.ReplaceAll(key, "-", " ") }

func short(s string) string {
	if r := []rune(s); len(r) > mostOfOne {
		return string(r[:mostOfOne]) + "…"
	}
	return s
}

func typicalTitle(j *scheduler.Job, id scheduler.ID) string {
	for k := range j.Typicals {
		if j.Typicals[k].ID == id {
			return j.Typicals[k].Title
		}
	}
	return ""
}

// NamedUnder is the kind of thing that is named under a key of a job file: a trade, which
// may be a person too, a place, gear or a step; empty where none is.
func NamedUnder(key string) scheduler.NameKind {
	switch key {
	case "trade", "trades", "by", "supplier", "receives":
		return scheduler.TradeName
	case "place", "places", "within":
		return scheduler.PlaceName
	case "gear":
		return scheduler.GearName
	case "step", "finish", "start", "from", "to", "steps", "admits", "seen":
		return scheduler.TaskName
	}
	return ""
}

// callings says what the names in a thing are called in a job.
func callings(j *scheduler.Job) func(key, word string) string {
	return func(key, word string) string {
		if day, err := worktime.ParseDate(word); err == nil {
			return on(day)
		}
		id := scheduler.ID(word)
		switch NamedUnder(key) {
		case scheduler.TradeName:
			for k := range j.People {
				if j.People[k].ID == id {
					return j.People[k].Name
				}
			}
			return tradeTitle(j, id)
		case scheduler.PlaceName:
			for k := range j.Places {
				if j.Places[k].ID == id {
					return j.Places[k].Title
				}
			}
		case scheduler.GearName:
			for k := range j.Gear {
				if j.Gear[k].ID == id {
					return j.Gear[k].Title
				}
			}
		case scheduler.TaskName:
			return stepTitle(j, id)
		}
		return word
	}
}
