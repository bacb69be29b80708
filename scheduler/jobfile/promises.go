package jobfile

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

var issueTable = table[scheduler.Issue]{
	name: "issue",
	keys: []key[scheduler.Issue]{
		must("on", date, func(i *scheduler.Issue) *worktime.Date { return &i.On }),
		must("as-of", date, func(i *scheduler.Issue) *worktime.Date { return &i.AsOf }),
		must("by", name, func(i *scheduler.Issue) *scheduler.ID { return &i.By }),
		may("note", text, func(i *scheduler.Issue) *string { return &i.Note }),
	},
}

var issues = named("issue", &issueTable, func(i *scheduler.Issue) (*string, *scheduler.Pos) { return &i.Letter, &i.Pos })

var promiseTable = table[scheduler.Promise]{
	name: "promise",
	keys: []key[scheduler.Promise]{
		must("trade", name, func(p *scheduler.Promise) *scheduler.ID { return &p.Trade }),
		must("place", name, func(p *scheduler.Promise) *scheduler.ID { return &p.Place }),
		must("steps", names, func(p *scheduler.Promise) *[]scheduler.ID { return &p.Steps }),
		must("from", date, func(p *scheduler.Promise) *worktime.Date { return &p.From }),
		must("until", date, func(p *scheduler.Promise) *worktime.Date { return &p.Until }),
		may("issue", text, func(p *scheduler.Promise) *string { return &p.Letter }),
		may("confirmed", optional(date), func(p *scheduler.Promise) **worktime.Date { return &p.Confirmed }),
		may("by", name, func(p *scheduler.Promise) *scheduler.ID { return &p.By }),
	},
}

var promises = named("promise", &promiseTable, func(p *scheduler.Promise) (*string, *scheduler.Pos) { return &p.Window, &p.Pos })

var answerTable = table[scheduler.Answer]{
	name: "answer",
	keys: []key[scheduler.Answer]{
		must("window", text, func(a *scheduler.Answer) *string { return &a.Window }),
		must("trade", name, func(a *scheduler.Answer) *scheduler.ID { return &a.Trade }),
		must("place", name, func(a *scheduler.Answer) *scheduler.ID { return &a.Place }),
		must("steps", names, func(a *scheduler.Answer) *[]scheduler.ID { return &a.Steps }),
		must("from", date, func(a *scheduler.Answer) *worktime.Date { return &a.From }),
		must("to", date, func(a *scheduler.Answer) *worktime.Date { return &a.To }),
		must("on", date, func(a *scheduler.Answer) *worktime.Date { return &a.On }),
		must("by", name, func(a *scheduler.Answer) *scheduler.ID { return &a.By }),
		may("note", text, func(a *scheduler.Answer) *string { return &a.Note }),
	},
}

var answers = listed("answer", &answerTable, func(a *scheduler.Answer) *scheduler.Pos { return &a.Pos })
