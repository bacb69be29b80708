package api

import (
	"context"
	"time"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// JobLine is one job in the list of jobs.
type JobLine struct {
	ID       scheduler.ID `json:"id"`
	Title    string       `json:"title"`
	Revision int64        `json:"revision"`
	Changed  time.Time    `json:"changed" doc:"When it was last changed."`
	Plan     string       `json:"plan" format:"uri-reference" doc:"Where its plan is."`
}

// JobsBody is the list of jobs.
type JobsBody struct {
	Jobs []JobLine `json:"jobs" nullable:"false"`
}

// JobBody is one job, without the things that have an address of their own.
type JobBody struct {
	Standing
	ID         scheduler.ID        `json:"id"`
	Title      string              `json:"title"`
	Zone       string              `json:"zone" doc:"IANA time zone."`
	Start      worktime.Date       `json:"start" doc:"No work before this day."`
	Pinned     *worktime.Date      `json:"pinned_as_of,omitempty" doc:"The day the plan is always computed from; left out: today."`
	DayMinutes int64               `json:"day_minutes" doc:"Working minutes in 1 day."`
	Week       map[string][]string `json:"week" doc:"The site's working periods by day of the week."`
	Closures   []ClosureBody       `json:"closures" nullable:"false"`
	People     []PersonBody        `json:"people" nullable:"false"`
	Gear       []GearBody          `json:"gear" nullable:"false"`
	Site       SiteBody            `json:"site" doc:"What those who come there have to know of the site."`
}

// SiteBody is what is said of the site; what is left out nobody has said.
type SiteBody struct {
	Access    string `json:"access,omitempty" doc:"How to get in, and who has the key."`
	Parking   string `json:"parking,omitempty"`
	Unloading string `json:"unloading,omitempty"`
	Storage   string `json:"storage,omitempty" doc:"Where what was brought may lie."`
	Lifting   string `json:"lifting,omitempty" doc:"What there is to lift with, and whom to ask for it."`
	Power     string `json:"power,omitempty" doc:"Where to plug in, and where water is."`
}

// ClosureBody is a run of days on which nobody works.
type ClosureBody struct {
	From worktime.Date `json:"from"`
	To   worktime.Date `json:"to" doc:"The last of the days."`
	Why  string        `json:"why,omitempty" maxLength:"500"`
}

// PersonBody is somebody on the job.
type PersonBody struct {
	ID    scheduler.ID   `json:"id"`
	Name  string         `json:"name"`
	Role  scheduler.Role `json:"role"`
	Trade scheduler.ID   `json:"trade,omitempty"`
}

// GearBody is something shared that tasks hold while they run.
type GearBody struct {
	ID    scheduler.ID `json:"id"`
	Title string       `json:"title"`
	Count int          `json:"count"`
}

// AsOfBody pins the day a job is planned from, or lets it go.
type AsOfBody struct {
	AsOf *worktime.Date `json:"as_of,omitempty" doc:"Left out: today, whenever the plan is made."`
}

func (s *Server) jobRoutes() {
	register(s, get("list-jobs", "/jobs", "The jobs that you have a seat on"), s.listJobs)
	register(s, get("get-job", "/jobs/{job}", "One job: site, calendar, people, gear"),
		func(ctx context.Context, in *JobQuery) (*Answer[JobBody], error) {
			return answerJob(ctx, s, in, showJob)
		})
	register(s, route{id: "set-as-of", method: "PUT", path: "/jobs/{job}/as-of", summary: "Pin the day a job is planned from, or let it go"},
		func(ctx context.Context, in *struct {
			Change
			Body AsOfBody
		},
		) (*Changed, error) {
			return s.commit(ctx, in.Change, func(j *scheduler.Job) error { return j.SetAsOf(in.Body.AsOf) })
		})
}

func (s *Server) listJobs(ctx context.Context, _ *struct{}) (*struct{ Body JobsBody }, error) {
	heads, err := signin.Jobs(ctx, s.office)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body JobsBody }{JobsBody{Jobs: make([]JobLine, 0, len(heads))}}
	for _, h := range heads {
		out.Body.Jobs = append(out.Body.Jobs, JobLine{
			ID: h.ID, Title: h.Title, Revision: h.Revision, Changed: h.Changed, Plan: changed(h.ID, 0).Body.Plan,
		})
	}
	return out, nil
}

func showJob(j *scheduler.Job, standing Standing) (JobBody, error) {
	b := JobBody{
		Standing: standing, ID: j.ID, Title: j.Title, Zone: j.Zone, Start: j.Start, Pinned: j.AsOf,
		DayMinutes: j.DayMinutes(), Week: week(j.Week), Closures: closures(j.Closures),
		People: make([]PersonBody, 0, len(j.People)), Gear: make([]GearBody, 0, len(j.Gear)), Site: SiteBody(j.Site),
	}
	for _, p := range j.People {
		b.People = append(b.People, PersonBody{ID: p.ID, Name: p.Name, Role: p.Role, Trade: p.Trade})
	}
	for _, g := range j.Gear {
		b.Gear = append(b.Gear, GearBody{ID: g.ID, Title: g.Title, Count: g.Count})
	}
	return b, nil
}

func closures(cs []scheduler.Closure) []ClosureBody {
	out := make([]ClosureBody, 0, len(cs))
	for _, c := range cs {
		out = append(out, ClosureBody{From: c.From, To: c.To, Why: c.Why})
	}
	return out
}

// weekdays are the keys of a week, by time.Weekday.
var weekdays = [...]string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

func week(w worktime.Week) map[string][]string {
	out := make(map[string][]string)
	for day, periods := range w {
		for _, p := range periods {
			out[weekdays[day]] = append(out[weekdays[day]], p.String())
		}
	}
	return out
}
