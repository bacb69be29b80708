package api

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// JobPath names a job in an address.
type JobPath struct {
	Job scheduler.ID `path:"job" maxLength:"100" doc:"The job's name."`
}

// JobQuery reads something of a job that does not depend on its plan.
type JobQuery struct {
	JobPath
	IfNoneMatch string `header:"If-None-Match" doc:"An ETag seen before: 304 when nothing has changed since."`
}

// PlanQuery reads something of a job's plan.
type PlanQuery struct {
	JobQuery
	AsOf   string `query:"as_of" format:"date" doc:"Plan as of this day, instead of the job's own or today."`
	Prefer string `header:"Prefer" maxLength:"200" doc:"With wait=0 (RFC 7240) the answer is the plan that is there, where the newest revision is still being planned for the first time: the revision says which it is of. Preference-Applied says that it counted."`
}

// Change is what every change takes besides what it changes.
type Change struct {
	JobPath
	IfMatch string `header:"If-Match" doc:"The ETag the change was made from: 412 when the job has changed since, with what has."`
	Key     string `header:"Idempotency-Key" minLength:"1" maxLength:"200" doc:"A name of your own for this request. Sent again with the same name, after a lost answer, it changes nothing and gives the same revision."`
}

// Answer is what a read gives back.
type Answer[B any] struct {
	ETag         string `header:"ETag" doc:"The revision, and for plans the as-of day."`
	CacheControl string `header:"Cache-Control"`
	Applied      string `header:"Preference-Applied" doc:"What of Prefer counted."`
	Body         B
}

// Standing says which state of the job an answer is about.
type Standing struct {
	Revision int64          `json:"revision" doc:"The job's revision."`
	AsOf     *worktime.Date `json:"as_of,omitempty" doc:"The day the plan is computed from."`
}

// Changed is what a change gives back.
type Changed struct {
	ETag string `header:"ETag" doc:"The new revision."`
	Body ChangedBody
}

// ChangedBody says which revision a change made and where its plan is.
type ChangedBody struct {
	Revision int64  `json:"revision" doc:"The revision that holds the change; the same as before when nothing differs."`
	Plan     string `json:"plan" format:"uri-reference" doc:"Where the plan of that revision is."`
}

// tag is the ETag of a revision.
func tag(revision int64) string { return fmt.Sprintf(`"%d"`, revision) }

// planTag is the ETag of what is shown of a plan: the same revision has another plan
// on another day, and a better one may have been found since.
func planTag(revision int64, asOf worktime.Date, take int) string {
	if take > 1 {
		return fmt.Sprintf(`"%d-%s-%d"`, revision, asOf, take)
	}
	return fmt.Sprintf(`"%d-%s"`, revision, asOf)
}

// revisionOf is the revision that an If-Match names, 0 where it asks for none.
func revisionOf(ifMatch string) (int64, error) {
	if ifMatch == "" || ifMatch == "*" {
		return 0, nil
	}
	number, _, _ := strings.Cut(strings.Trim(ifMatch, `"`), "-")
	revision, err := strconv.ParseInt(number, 10, 64)
	if err != nil || revision < 1 {
		return 0, fmt.Errorf("If-Match %q names no revision: %w", ifMatch, db.ErrStale)
	}
	return revision, nil
}

// unchanged is the answer 304 when the client has seen that ETag already.
func unchanged(ifNoneMatch, etag string) error {
	for seen := range strings.SplitSeq(ifNoneMatch, ",") {
		if strings.TrimPrefix(strings.TrimSpace(seen), "W/") == etag {
			return huma.ErrorWithHeaders(huma.Status304NotModified(), http.Header{"Etag": {etag}, "Cache-Control": {revalidate}})
		}
	}
	return nil
}

// revalidate has clients keep an answer but ask each time whether it still holds.
const revalidate = "private, no-cache"

// answerJob reads something of a job as it stands.
func answerJob[B any](ctx context.Context, s *Server, in *JobQuery, show func(*scheduler.Job, Standing) (B, error)) (*Answer[B], error) {
	job, revision, err := s.office.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	etag := tag(revision)
	if err := unchanged(in.IfNoneMatch, etag); err != nil {
		return nil, err
	}
	body, err := show(job, Standing{Revision: revision})
	if err != nil {
		return nil, err
	}
	return &Answer[B]{ETag: etag, CacheControl: revalidate, Body: body}, nil
}

// answerPlan reads something of a job's plan.
func answerPlan[B any](ctx context.Context, s *Server, in *PlanQuery, show func(*office.Sheet, Standing) (B, error)) (*Answer[B], error) {
	asked, err := askedDay(in.AsOf)
	if err != nil {
		return nil, err
	}
	if in.IfNoneMatch != "" {
		if err := s.unchangedPlan(ctx, in, asked); err != nil {
			return nil, err
		}
	}
	sheet, applied, err := s.preferred(ctx, in, asked)
	if err != nil {
		return nil, err
	}
	body, err := show(sheet, Standing{Revision: sheet.Revision, AsOf: &sheet.AsOf})
	if err != nil {
		return nil, err
	}
	return &Answer[B]{ETag: planTag(sheet.Revision, sheet.AsOf, sheet.Take), CacheControl: revalidate, Applied: applied, Body: body}, nil
}

// noWait is the preference of those who would rather have the plan that is there than wait
// for the newest, as RFC 7240 spells it.
const noWait = "wait=0"

// preferred is the sheet that a request is to have, and what of its preferences counted.
func (s *Server) preferred(ctx context.Context, in *PlanQuery, asked *worktime.Date) (sheet *office.Sheet, applied string, err error) {
	for preference := range strings.SplitSeq(in.Prefer, ",") {
		if strings.EqualFold(strings.ReplaceAll(preference, " ", ""), noWait) {
			sheet, _, err = s.office.AtHand(ctx, in.Job, asked)
			return sheet, noWait, err
		}
	}
	sheet, err = s.office.Sheet(ctx, in.Job, asked)
	return sheet, "", err
}

// askedDay is the day that a request names, nil where it names none.
func askedDay(text string) (*worktime.Date, error) {
	if text == "" {
		return nil, nil
	}
	day, err := worktime.ParseDate(text)
	if err != nil {
		return nil, problemOf("impossible", http.StatusUnprocessableEntity, "That cannot be", err.Error())
	}
	return &day, nil
}

// unchangedPlan spares the planning when the client has it already.
func (s *Server) unchangedPlan(ctx context.Context, in *PlanQuery, asked *worktime.Date) error {
	revision, day, take, err := s.office.Take(ctx, in.Job, asked)
	if err != nil || take == 0 {
		return err
	}
	return unchanged(in.IfNoneMatch, planTag(revision, day, take))
}

// edit is how the change of a request is asked for, in the name of who has signed in.
func (in Change) edit(ctx context.Context) (db.Edit, error) {
	at, err := revisionOf(in.IfMatch)
	return db.Edit{By: signin.From(ctx).Author(), At: at, Key: in.Key, Print: printOf(ctx)}, err
}

// commit applies a change in the name of who has signed in.
func (s *Server) commit(ctx context.Context, in Change, change func(*scheduler.Job) error) (*Changed, error) {
	return s.edited(ctx, in, func(e db.Edit) (int64, error) { return s.office.Commit(ctx, in.Job, e, change) })
}

// edited answers with the revision that an edit made, or with what has changed since
// the one it was made from.
func (s *Server) edited(ctx context.Context, in Change, do func(db.Edit) (int64, error)) (*Changed, error) {
	e, err := in.edit(ctx)
	if err != nil {
		return nil, err
	}
	revision, err := do(e)
	if err != nil {
		return nil, s.sinceThen(ctx, in.Job, err)
	}
	return changed(in.Job, revision), nil
}

func changed(job scheduler.ID, revision int64) *Changed {
	return &Changed{ETag: tag(revision), Body: ChangedBody{Revision: revision, Plan: prefix + "/jobs/" + string(job) + "/plan"}}
}

// when is the moment a person means who names none: now, or the as-of day where
// the job stands still on one.
func (s *Server) when(job *scheduler.Job, said *worktime.When) (worktime.When, error) {
	if said != nil {
		return *said, nil
	}
	return s.office.Now(job)
}

func notFound(kind string, id any) error {
	return fmt.Errorf("%s %q: %w", kind, id, scheduler.ErrNotFound)
}
