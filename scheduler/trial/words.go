package trial

import (
	"cmp"
	"fmt"
	"strings"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Say is a statement in words, with the things called as the job calls them.
func (o Op) Say(j *scheduler.Job) string {
	switch {
	case o.Takes != nil:
		return stepTitle(j, o.Takes.Step) + " takes " + o.Takes.Takes.String()
	case o.Crews != nil:
		crews := fmt.Sprintf("%d crews", o.Crews.Crews)
		if o.Crews.Crews == 1 {
			crews = "1 crew"
		}
		return tradeTitle(j, o.Crews.Trade) + " can send " + crews
	case o.Expected != nil:
		return stepTitle(j, o.Expected.Step) + " is expected on " + on(o.Expected.Day)
	case o.Pin != nil && o.Pin.On != nil:
		return stepTitle(j, o.Pin.Step) + " starts on " + on(*o.Pin.On)
	case o.Pin != nil && o.Pin.NotBefore != nil:
		return stepTitle(j, o.Pin.Step) + " does not start before " + on(*o.Pin.NotBefore)
	case o.Off != nil && o.Off.From == o.Off.To:
		return tradeTitle(j, o.Off.Trade) + " cannot come on " + on(o.Off.From)
	case o.Off != nil:
		return tradeTitle(j, o.Off.Trade) + " cannot come from " + on(o.Off.From) + " to " + on(o.Off.To)
	case o.Layer != nil:
		return sayLayer(j, o.Layer)
	case o.Put != nil:
		return cmp.Or(o.Put.Says, o.Put.say(j))
	}
	return "nothing"
}

func sayLayer(j *scheduler.Job, l *Layer) string {
	whole, layer, after := string(l.BuildUp), string(l.Layer), string(l.After)
	if b := j.FindBuildUp(l.BuildUp); b != nil {
		whole = b.Title
		for k := range b.Layers {
			switch b.Layers[k].ID {
			case l.Layer:
				layer = b.Layers[k].Title
			case l.After:
				after = b.Layers[k].Title
			}
		}
	}
	if l.After == "" {
		return fmt.Sprintf("%s: %s goes on first", whole, layer)
	}
	return fmt.Sprintf("%s: %s goes on after %s", whole, layer, after)
}

// mostWords is how long the summary of a trial is at most, in letters: it is one line.
const mostWords = 500

// Summary is all statements of a trial in one line.
func Summary(j *scheduler.Job, ops []Op) string {
	said := make([]string, len(ops))
	for k, op := range ops {
		said[k] = op.Say(j)
	}
	line := []rune(strings.Join(said, "; "))
	if len(line) > mostWords {
		line = append(line[:mostWords:mostWords], '…')
	}
	return string(line)
}

func on(d worktime.Date) string { return d.Format("Mon 2 Jan 2006") }

func tradeTitle(j *scheduler.Job, id scheduler.ID) string {
	for k := range j.Trades {
		if j.Trades[k].ID == id && j.Trades[k].Title != "" {
			return j.Trades[k].Title
		}
	}
	return string(id)
}

// stepTitle is what a step is called: with its order, or with the place at which a
// typical is repeated.
func stepTitle(j *scheduler.Job, id scheduler.ID) string {
	if title := titleIn(j.Tasks, j.Holds, id); title != "" {
		return title
	}
	dot := strings.LastIndexByte(string(id), '.')
	if dot < 0 {
		return string(id)
	}
	whole, local := id[:dot], id[dot+1:]
	for k := range j.Orders {
		o := &j.Orders[k]
		if o.ID != whole {
			continue
		}
		if local == scheduler.DeliveryStage {
			return "delivery of " + o.Title
		}
		for n := range o.Stages {
			if o.Stages[n].ID == local {
				return o.Title + ", " + o.Stages[n].Title
			}
		}
	}
	for k := range j.Typicals {
		t := &j.Typicals[k]
		title := titleIn(t.Tasks, t.Holds, local)
		switch {
		case title == "":
		case t.ID == whole:
			return title + ", everywhere"
		default:
			for n := range j.Places {
				if j.Places[n].ID == whole {
					return title + ", " + j.Places[n].Title
				}
			}
		}
	}
	return string(id)
}

func titleIn(tasks []scheduler.Task, holds []scheduler.Hold, id scheduler.ID) string {
	for k := range tasks {
		if tasks[k].ID == id {
			return tasks[k].Title
		}
	}
	for k := range holds {
		if holds[k].ID == id {
			return holds[k].Title
		}
	}
	return ""
}
