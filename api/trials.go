package api

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// TrialPath names one trial in an address.
type TrialPath struct {
	JobPath
	Trial int `path:"trial" minimum:"1" maximum:"1000000000" doc:"The trial's number."`
}

// TrialChange is what every change of a trial takes besides what it changes.
type TrialChange struct {
	TrialPath
	IfMatch string `header:"If-Match" doc:"The ETag of the trial as it was seen: 412 when it has changed since."`
	Key     string `header:"Idempotency-Key" minLength:"1" maxLength:"200" doc:"A name of your own for this request. Sent again with the same name, after a lost answer, it changes nothing."`
}

// TrialBody is a list of changes that are tried on a job, which stays as it is.
type TrialBody struct {
	Trial   int         `json:"trial" doc:"Its number."`
	Title   string      `json:"title"`
	Version int         `json:"version" doc:"One more with each change of the trial."`
	MadeAt  time.Time   `json:"made_at"`
	MadeBy  string      `json:"made_by"`
	Changed time.Time   `json:"changed_at"`
	Adopted *int64      `json:"adopted,omitempty" doc:"The revision of the job in which it was adopted; left out: it is open."`
	Changes []TriedBody `json:"changes" nullable:"false" doc:"In the order in which they are made."`
}

// TriedBody is one change of a trial, and what it is in words.
type TriedBody struct {
	Says string `json:"says"`
	trial.Op
}

// TrialsBody is the trials of a job.
type TrialsBody struct {
	Trials []TrialBody `json:"trials" nullable:"false" doc:"Those that were not thrown away, the newest first."`
}

// NewTrialBody begins a trial. What one request brings is bounded, since each change is
// tried on the job by itself.
type NewTrialBody struct {
	Title   string     `json:"title" minLength:"1" maxLength:"100" doc:"In a few words what is tried."`
	Changes []trial.Op `json:"changes,omitempty" maxItems:"10" doc:"Each says one thing: what a step takes, how many crews a trade sends, on which day a hold point is expected, a pin, days off, a layer behind another, or, as put, any one thing in the words of a job file."`
}

// MoreBody adds to a trial.
type MoreBody struct {
	Changes []trial.Op `json:"changes" minItems:"1" maxItems:"10" nullable:"false" doc:"Each says one thing, as where a trial begins; of two about the same the later counts."`
}

// TrialAnswer is a trial as it stands.
type TrialAnswer struct {
	ETag         string `header:"ETag" doc:"The state of the trial."`
	CacheControl string `header:"Cache-Control"`
	Body         TrialBody
}

func (s *Server) trialRoutes() {
	const all, one = "/jobs/{job}/trials", "/jobs/{job}/trials/{trial}"
	register(s, get("list-trials", all, "Trials: changes that are looked at and not yet made"), s.listTrials)
	register(s, route{
		id: "make-trial", method: http.MethodPost, path: all, summary: "Begin a trial; the job stays as it is",
		also: func(op *huma.Operation) { op.DefaultStatus = http.StatusCreated },
	}, s.makeTrial)
	register(s, get("get-trial", one, "One trial and its changes"), func(ctx context.Context, in *TrialPath) (*TrialAnswer, error) {
		t, err := s.office.Trials().Trial(ctx, in.Job, in.Trial)
		return s.answerTrial(ctx, in.Job, t, err)
	})
	register(s, route{id: "throw-trial-away", method: http.MethodDelete, path: one, summary: "End a trial without anything coming of it"},
		func(ctx context.Context, in *TrialChange) (*struct{}, error) {
			e, seen, err := in.edit(ctx)
			if err != nil {
				return nil, err
			}
			return nil, s.office.Trials().ThrowTrialAway(ctx, in.Job, in.Trial, seen, e)
		})
	register(s, route{id: "add-to-trial", method: http.MethodPost, path: one + "/changes", summary: "Add changes to a trial, each in the place of an earlier one about the same"},
		func(ctx context.Context, in *struct {
			TrialChange
			Body MoreBody
		},
		) (*TrialAnswer, error) {
			return s.changedTrial(ctx, &in.TrialChange, func(seen int, e db.Edit) (db.Trial, error) {
				return s.office.AddToTrial(ctx, in.Job, in.Trial, seen, in.Body.Changes, e)
			})
		})
	register(s, route{id: "take-out-of-trial", method: http.MethodDelete, path: one + "/changes/{change}", summary: "Take a change out of a trial"},
		func(ctx context.Context, in *struct {
			TrialChange
			Number int `path:"change" minimum:"1" maximum:"1000" doc:"Its place in the list, from 1."`
		},
		) (*TrialAnswer, error) {
			return s.changedTrial(ctx, &in.TrialChange, func(seen int, e db.Edit) (db.Trial, error) {
				return s.office.TakeOutOfTrial(ctx, in.Job, in.Trial, seen, in.Number, e)
			})
		})
	register(s, route{id: "adopt-trial", method: http.MethodPost, path: one + "/adopt", summary: "Make all changes of a trial in the job, as one change"}, s.adoptTrial)
	s.outcomeRoutes()
}

func (s *Server) listTrials(ctx context.Context, in *JobPath) (*struct{ Body TrialsBody }, error) {
	job, _, err := s.office.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	trials, err := s.office.Trials().Trials(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body TrialsBody }{TrialsBody{Trials: make([]TrialBody, len(trials))}}
	for k := range trials {
		out.Body.Trials[k] = showTrial(job, &trials[k])
	}
	return out, nil
}

func (s *Server) makeTrial(ctx context.Context, in *struct {
	JobPath
	Key  string `header:"Idempotency-Key" minLength:"1" maxLength:"200" doc:"A name of your own for this request. Sent again with the same name, after a lost answer, it makes no second trial."`
	Body NewTrialBody
},
) (*TrialAnswer, error) {
	title := strings.TrimSpace(in.Body.Title)
	if title == "" {
		return nil, &scheduler.Refusal{Kind: scheduler.ErrIncomplete, Field: "title", What: "the title is missing", Mend: "say in a few words what is tried"}
	}
	e, err := Change{Key: in.Key}.edit(ctx)
	if err != nil {
		return nil, err
	}
	t, err := s.office.MakeTrial(ctx, in.Job, title, in.Body.Changes, e)
	return s.answerTrial(ctx, in.Job, t, err)
}

// adoptTrial makes the changes of a trial as it was seen, or else as it was found here:
// what the visitor may do was asked of those.
func (s *Server) adoptTrial(ctx context.Context, in *TrialChange) (*Changed, error) {
	e, seen, err := in.edit(ctx)
	if err != nil {
		return nil, err
	}
	t, err := s.office.Trials().Trial(ctx, in.Job, in.Trial)
	if err != nil {
		return nil, err
	}
	if seen == 0 {
		seen = t.Version
	}
	if err := rights.Adopt(signin.From(ctx), t.Ops); err != nil {
		return nil, err
	}
	revision, err := s.office.AdoptTrial(ctx, in.Job, in.Trial, seen, e)
	if err != nil {
		return nil, err
	}
	return changed(in.Job, revision), nil
}

func (s *Server) changedTrial(ctx context.Context, in *TrialChange, do func(seen int, e db.Edit) (db.Trial, error)) (*TrialAnswer, error) {
	e, seen, err := in.edit(ctx)
	if err != nil {
		return nil, err
	}
	t, err := do(seen, e)
	return s.answerTrial(ctx, in.Job, t, err)
}

// edit is how the change of a request is asked for, and which version of the trial it was
// made from, 0 where it does not say.
func (in *TrialChange) edit(ctx context.Context) (e db.Edit, seen int, err error) {
	if in.IfMatch != "" && in.IfMatch != "*" {
		number, _, _ := strings.Cut(strings.TrimPrefix(in.IfMatch, `"trial-`), `"`)
		if seen, err = strconv.Atoi(number); err != nil || seen < 1 {
			return e, 0, fmt.Errorf("If-Match %q names no state of a trial: %w", in.IfMatch, db.ErrTrialChanged)
		}
	}
	e, err = Change{Key: in.Key}.edit(ctx)
	return e, seen, err
}

func trialTag(version int) string { return fmt.Sprintf(`"trial-%d"`, version) }

func (s *Server) answerTrial(ctx context.Context, id scheduler.ID, t db.Trial, err error) (*TrialAnswer, error) {
	if err != nil {
		return nil, err
	}
	job, _, err := s.office.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	return &TrialAnswer{ETag: trialTag(t.Version), CacheControl: revalidate, Body: showTrial(job, &t)}, nil
}

func showTrial(job *scheduler.Job, t *db.Trial) TrialBody {
	b := TrialBody{
		Trial: t.Number, Title: t.Title, Version: t.Version, MadeAt: t.MadeAt, MadeBy: t.MadeBy, Changed: t.Changed, Adopted: t.Adopted,
		Changes: make([]TriedBody, len(t.Ops)),
	}
	for k, op := range t.Ops {
		b.Changes[k] = TriedBody{op.Say(job), op}
	}
	return b
}
