package db

import (
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type promiseRow struct {
	ordered
	Window    string         `json:"window" db:"key"`
	Trade     scheduler.ID   `json:"trade"`
	Place     scheduler.ID   `json:"place"`
	From      worktime.Date  `json:"from_day"`
	Until     worktime.Date  `json:"until_day"`
	Letter    *string        `json:"letter"`
	Confirmed *worktime.Date `json:"confirmed_day"`
	By        scheduler.ID   `json:"by,omitempty"`
}

var promises = content[promiseRow]{
	name: "promise", kind: "promise",
	split: func(j *scheduler.Job) (rows []promiseRow) {
		for _, p := range j.Promises {
			r := promiseRow{Window: p.Window, Trade: p.Trade, Place: p.Place, From: p.From, Until: p.Until, Confirmed: p.Confirmed, By: p.By}
			if p.Letter != "" {
				r.Letter = &p.Letter
			}
			rows = append(rows, r)
		}
		return rows
	},
	join: func(j *joiner, rows []promiseRow) {
		for _, r := range rows {
			p := scheduler.Promise{Window: r.Window, Trade: r.Trade, Place: r.Place, From: r.From, Until: r.Until, Confirmed: r.Confirmed, By: r.By}
			if r.Letter != nil {
				p.Letter = *r.Letter
			}
			j.job.Promises = append(j.job.Promises, p)
		}
		j.promises = byName(j.job.Promises, func(p *scheduler.Promise) scheduler.ID { return scheduler.ID(p.Window) })
	},
}

type promiseStep struct {
	ordered
	Owner  scheduler.ID `json:"promise" db:"owner"`
	Member scheduler.ID `json:"step" db:"key"`
}

var promiseSteps = links[promiseStep]("promise_step", "promise", "steps",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		for k := range job.Promises {
			do(scheduler.ID(job.Promises[k].Window), job.Promises[k].Steps)
		}
	},
	func(j *joiner, window scheduler.ID) *[]scheduler.ID { return &j.promises[window].Steps })

type answerRow struct {
	ordered
	Name   string        `json:"name" db:"key"`
	Window string        `json:"window"`
	Trade  scheduler.ID  `json:"trade"`
	Place  scheduler.ID  `json:"place"`
	From   worktime.Date `json:"from_day"`
	To     worktime.Date `json:"to_day"`
	On     worktime.Date `json:"on_day"`
	By     scheduler.ID  `json:"by"`
	Note   string        `json:"note"`
}

// answerNames are what the answers of a job are called: after window and days.
func answerNames(answers []scheduler.Answer) []string {
	names, all := namer{}, make([]string, len(answers))
	for k, a := range answers {
		all[k] = names.name(a.Window + " from " + a.From.String() + " to " + a.To.String())
	}
	return all
}

var answers = content[answerRow]{
	name: "answer", kind: "answer",
	split: func(j *scheduler.Job) (rows []answerRow) {
		names := answerNames(j.Answers)
		for k, a := range j.Answers {
			rows = append(rows, answerRow{
				Name: names[k], Window: a.Window, Trade: a.Trade, Place: a.Place, From: a.From, To: a.To, On: a.On, By: a.By, Note: a.Note,
			})
		}
		return rows
	},
	join: func(j *joiner, rows []answerRow) {
		names := make(map[*scheduler.Answer]scheduler.ID, len(rows))
		j.job.Answers = make([]scheduler.Answer, len(rows))
		for k, r := range rows {
			j.job.Answers[k] = scheduler.Answer{Window: r.Window, Trade: r.Trade, Place: r.Place, From: r.From, To: r.To, On: r.On, By: r.By, Note: r.Note}
			names[&j.job.Answers[k]] = scheduler.ID(r.Name)
		}
		j.answers = byName(j.job.Answers, func(a *scheduler.Answer) scheduler.ID { return names[a] })
	},
}

type answerStep struct {
	ordered
	Owner  scheduler.ID `json:"answer" db:"owner"`
	Member scheduler.ID `json:"step" db:"key"`
}

var answerSteps = links[answerStep]("answer_step", "answer", "steps",
	func(job *scheduler.Job, do func(scheduler.ID, []scheduler.ID)) {
		names := answerNames(job.Answers)
		for k := range job.Answers {
			do(scheduler.ID(names[k]), job.Answers[k].Steps)
		}
	},
	func(j *joiner, name scheduler.ID) *[]scheduler.ID { return &j.answers[name].Steps })
