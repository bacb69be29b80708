package db

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

type factRow struct {
	ordered
	Step           scheduler.ID    `json:"step" db:"key"`
	StartedDay     *worktime.Date  `json:"started_day"`
	StartedMinute  *worktime.Clock `json:"started_minute"`
	DoneDay        *worktime.Date  `json:"done_day"`
	DoneMinute     *worktime.Clock `json:"done_minute"`
	BookedDay      *worktime.Date  `json:"booked_day"`
	BookedMinute   *worktime.Clock `json:"booked_minute"`
	ExpectedDay    *worktime.Date  `json:"expected_day"`
	ExpectedMinute *worktime.Clock `json:"expected_minute"`
	ReleasedDay    *worktime.Date  `json:"released_day"`
	ReleasedMinute *worktime.Clock `json:"released_minute"`
	RefusedDay     *worktime.Date  `json:"refused_day"`
	RefusedMinute  *worktime.Clock `json:"refused_minute"`
	Remaining      *worktime.Span  `json:"remaining"`
	Measured       *int            `json:"measured"`
	By             scheduler.ID    `json:"by,omitempty"`
	Note           string          `json:"note"`
	Evidence       string          `json:"evidence"`
}

var facts = content[factRow]{
	name: "fact", kind: "fact",
	split: func(j *scheduler.Job) []factRow {
		rows := slices.Grow([]factRow(nil), len(j.Facts))
		for k := range j.Facts {
			rows = append(rows, factRowOf(&j.Facts[k]))
		}
		return rows
	},
	join: func(j *joiner, rows []factRow) {
		j.job.Facts = slices.Grow(j.job.Facts, len(rows))
		for k := range rows {
			j.job.Facts = append(j.job.Facts, rows[k].fact())
		}
	},
}

func factRowOf(f *scheduler.Fact) factRow {
	r := factRow{Step: f.Step, Remaining: f.Remaining, Measured: f.Measured, By: f.By, Note: f.Note, Evidence: f.Evidence}
	r.StartedDay, r.StartedMinute = dayAndMinute(f.Started)
	r.DoneDay, r.DoneMinute = dayAndMinute(f.Done)
	r.BookedDay, r.BookedMinute = dayAndMinute(f.Booked)
	r.ExpectedDay, r.ExpectedMinute = dayAndMinute(f.Expected)
	r.ReleasedDay, r.ReleasedMinute = dayAndMinute(f.Released)
	r.RefusedDay, r.RefusedMinute = dayAndMinute(f.Refused)
	return r
}

func (r *factRow) fact() scheduler.Fact {
	return scheduler.Fact{
		Step:      r.Step,
		Started:   whenOf(r.StartedDay, r.StartedMinute),
		Done:      whenOf(r.DoneDay, r.DoneMinute),
		Booked:    whenOf(r.BookedDay, r.BookedMinute),
		Expected:  whenOf(r.ExpectedDay, r.ExpectedMinute),
		Released:  whenOf(r.ReleasedDay, r.ReleasedMinute),
		Refused:   whenOf(r.RefusedDay, r.RefusedMinute),
		Remaining: r.Remaining, Measured: r.Measured, By: r.By, Note: r.Note, Evidence: r.Evidence,
	}
}

func dayAndMinute(w *worktime.When) (*worktime.Date, *worktime.Clock) {
	if w == nil {
		return nil, nil
	}
	return &w.Day, w.Time
}

func whenOf(day *worktime.Date, minute *worktime.Clock) *worktime.When {
	if day == nil {
		return nil
	}
	return &worktime.When{Day: *day, Time: minute}
}
