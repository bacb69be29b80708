package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/labstack/echo/v4"

	"gaugerod/api/attach"
	"gaugerod/api/office"
	"gaugerod/api/rights"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/trial"
)

// Problem is what an error looks like to the outside: problem details as RFC 9457
// has them, with the faults of a job file or the fields of a request under errors.
type Problem struct {
	huma.ErrorModel
	Revision int64         `json:"revision,omitempty" doc:"A change that came too late: the revision that the job is at."`
	Since    []HistoryLine `json:"since,omitempty" doc:"A change that came too late: what has changed since the revision it was made from, the newest first."`
}

// problemOf is a problem of ours by the last part of its type.
func problemOf(name string, status int, title, detail string) *Problem {
	return &Problem{ErrorModel: huma.ErrorModel{Type: problemType(name), Status: status, Title: title, Detail: detail}}
}

// unknownSentence is all that the outside hears of an error nobody foresaw; the
// error itself goes to the log with the request's id.
const unknownSentence = "Something went wrong here. It has been written to the log under this request's id."

// kinds maps the errors of the domain, the first that fits.
var kinds = []struct {
	err    error
	status int
	name   string // the last part of the problem's type
	title  string
}{
	{db.ErrStale, http.StatusPreconditionFailed, "stale", "The job has changed meanwhile"},
	{db.ErrTrialChanged, http.StatusPreconditionFailed, "trial-changed", "The trial has changed meanwhile"},
	{db.ErrKeyUsed, http.StatusUnprocessableEntity, "key-used", "This key belongs to another request"},
	{db.ErrBuiltOn, http.StatusConflict, "built-on", "Later changes rest on it"},
	{db.ErrNotKept, http.StatusNotFound, "not-kept", "That state is not kept"},
	{scheduler.ErrAlready, http.StatusConflict, "already", "That has been done already"},
	{scheduler.ErrNotTheirs, http.StatusForbidden, "not-theirs", "That is for somebody else"},
	{scheduler.ErrWrongKind, http.StatusUnprocessableEntity, "wrong-kind", "That is not such a thing"},
	{scheduler.ErrIncomplete, http.StatusUnprocessableEntity, "incomplete", "Something is missing"},
	{scheduler.ErrImpossible, http.StatusUnprocessableEntity, "impossible", "That cannot be"},
	{signin.ErrSpent, http.StatusForbidden, "spent", "This link is spent"},
	{signin.ErrWrong, http.StatusForbidden, "wrong-password", "That does not go together"},
	{signin.ErrBusy, http.StatusServiceUnavailable, "busy", "Too many at once"},
	{attach.ErrTooLarge, http.StatusRequestEntityTooLarge, "file-too-large", "The file is too large"},
	{attach.ErrEmpty, http.StatusUnprocessableEntity, "file-empty", "The file is empty"},
	{attach.ErrBroken, http.StatusBadRequest, "file-broken", "The file did not arrive whole"},
	{attach.ErrKind, http.StatusUnsupportedMediaType, "file-kind", "Such files cannot be attached"},
	{attach.ErrNotYours, http.StatusForbidden, "not-yours", "That is for somebody else"},
	{db.ErrShelfFull, http.StatusConflict, "full", "No more can be attached"},
	{db.ErrText, http.StatusUnprocessableEntity, "no-text", "That is no text"},
	{db.ErrUnavailable, http.StatusServiceUnavailable, "no-database", "The database does not answer"},
	{office.ErrClosed, http.StatusServiceUnavailable, "stopping", "The service is stopping"},
	{context.DeadlineExceeded, http.StatusServiceUnavailable, "too-slow", "That took too long"},
	{context.Canceled, http.StatusServiceUnavailable, "broken-off", "The request was broken off"},
}

// ProblemOf is the problem that an error is, for the API and for pages alike.
func ProblemOf(err error) *Problem {
	var (
		problem *Problem
		tried   *trial.OpError
		misfits jobfile.Misfits
		faults  scheduler.Faults
		refusal *scheduler.Refusal
		tooBig  *http.MaxBytesError
		http1   *echo.HTTPError
		refused *rights.RefusedError
	)
	switch {
	case errors.As(err, &problem):
		return problem
	case errors.As(err, &tried):
		return problemOfTrial(tried)
	case errors.As(err, &misfits):
		return problemOfMisfits(misfits)
	case errors.As(err, &faults):
		return problemOfFaults(faults)
	case errors.As(err, &refusal):
		return problemOfRefusal(refusal)
	case errors.As(err, &tooBig):
		return problemOfStatus(http.StatusRequestEntityTooLarge)
	case errors.As(err, &http1):
		return problemOfStatus(http1.Code)
	case errors.Is(err, signin.ErrSignedOut):
		return problemOfStatus(http.StatusUnauthorized)
	case errors.As(err, &refused):
		return problemOf("not-allowed", http.StatusForbidden, "That is for somebody else", refused.Says)
	case errors.Is(err, scheduler.ErrNotFound):
		return problemOf("not-found", http.StatusNotFound, "Not found", "There is no such thing: "+err.Error()+".")
	}
	for _, k := range kinds {
		if errors.Is(err, k.err) {
			return problemOf(k.name, k.status, k.title, sentences[k.name])
		}
	}
	return problemOfStatus(http.StatusInternalServerError)
}

// sentences say more of the problems whose error has no words for people.
var sentences = map[string]string{
	"stale":          "The revision in If-Match is no longer the newest. Read the job again, look at what has changed, and send the change with the new revision.",
	"trial-changed":  "The state of the trial in If-Match is no longer its newest. Read the trial again, look at what has changed, and send the request with the new ETag.",
	"key-used":       "This Idempotency-Key was sent before with another request. Give each request a key of its own, and the same only when you send the same again.",
	"built-on":       "Somebody has changed the same things since, so it cannot be undone by itself. Undo the later changes first.",
	"not-kept":       "The state of that revision is not kept: it was made before states were.",
	"spent":          "This link is spent, has lapsed, was taken back or was never made. A sign-in link opens one session; ask whoever gave it to you for a new one.",
	"wrong-password": "That address and password do not go together.",
	"busy":           "Too many passwords are being looked at just now. Nothing has been changed; try again in a moment.",
	"file-too-large": "A file may have 10 MiB at most.",
	"file-empty":     "Nothing is in the file. Send it again.",
	"file-broken":    "Not all of the file came. Send it again.",
	"file-kind":      "Photographs and drawings (JPEG, PNG, WebP) and PDF can be attached. What a file is, its content says and not its name.",
	"not-yours":      "The owner of the job, or within a day who brought it, takes an attachment away.",
	"full":           "A job may have 1000 attachments of 500 MiB together. Take some away first.",
	"no-database":    "The database does not answer just now. Nothing has been changed; try again in a moment.",
	"stopping":       "The service is stopping. Try again in a moment.",
	"too-slow":       "It took too long and was broken off. Try again in a moment.",
	"broken-off":     "The request was broken off before there was an answer.",
}

func problemType(name string) string { return "urn:gaugerod:problem:" + name }

func problemOfFaults(faults scheduler.Faults) *Problem {
	p := unsound(len(faults))
	for _, f := range faults {
		where := ""
		if f.Pos.Line > 0 {
			where = fmt.Sprintf("line %d, column %d", f.Pos.Line, f.Pos.Column)
		}
		p.Errors = append(p.Errors, detailOf(f, where))
	}
	return p
}

// problemOfMisfits is the problem of a thing that was put into a job: where its mistakes
// are is told by keys, since nobody has sent the lines of the job.
func problemOfMisfits(misfits jobfile.Misfits) *Problem {
	p := unsound(len(misfits))
	for _, m := range misfits {
		p.Errors = append(p.Errors, detailOf(m.Fault, strings.Join(m.At, ".")))
	}
	return p
}

func unsound(mistakes int) *Problem {
	p := problemOf("unsound", http.StatusUnprocessableEntity, "The job is unsound", fmt.Sprintf("%d mistakes; nothing has been changed.", mistakes))
	if mistakes == 1 {
		p.Detail = "1 mistake; nothing has been changed."
	}
	return p
}

func detailOf(f scheduler.Fault, where string) *huma.ErrorDetail {
	d := &huma.ErrorDetail{Message: f.What, Location: where}
	if f.Mend != "" {
		d.Message += "; " + f.Mend
	}
	if f.Text != "" {
		d.Value = f.Text
	}
	return d
}

// problemOfTrial is the problem of one change of a trial, which it names.
func problemOfTrial(op *trial.OpError) *Problem {
	p := *ProblemOf(op.Cause) // the cause may hold a shared value
	p.Detail = fmt.Sprintf("Change %d of the trial does not go: %s", op.At+1, p.Detail)
	if p.Status == http.StatusNotFound { // the address names a trial, which is there
		p.Status = http.StatusUnprocessableEntity
	}
	return &p
}

func problemOfRefusal(r *scheduler.Refusal) *Problem {
	p := problemOf("not-found", http.StatusNotFound, "Not found", r.Error())
	for _, k := range kinds {
		if errors.Is(r.Kind, k.err) {
			p.Type, p.Status, p.Title = problemType(k.name), k.status, k.title
		}
	}
	// What the address names is not there: 404. What the body names is not: 422.
	if p.Status == http.StatusNotFound && r.Field == "by" {
		p.Status = http.StatusUnprocessableEntity
	}
	if r.Field != "" {
		p.Errors = []*huma.ErrorDetail{{Message: r.What, Location: r.Field}}
	}
	return p
}

// statusSentences are the fixed words for what HTTP itself objects to.
var statusSentences = map[int]string{
	http.StatusBadRequest:            "The request could not be read.",
	http.StatusUnauthorized:          "Sign in first: open a sign-in link in this browser, or send a session token as a bearer.",
	http.StatusForbidden:             "The request came from another site's page and was turned away.",
	http.StatusNotFound:              "There is nothing at this address.",
	http.StatusMethodNotAllowed:      "This address does not take that method. The Allow header lists those that it takes.",
	http.StatusRequestTimeout:        "The request came too slowly to be waited for.",
	http.StatusRequestEntityTooLarge: "The request is larger than this address takes.",
	http.StatusUnsupportedMediaType:  "The body is of a type that this address does not take.",
	http.StatusTooManyRequests:       "There were too many such requests. Try again after the seconds that Retry-After says.",
	http.StatusServiceUnavailable:    "The service is not ready. Try again in a moment.",
}

func problemOfStatus(status int) *Problem {
	sentence, ok := statusSentences[status]
	switch {
	case ok:
	case status >= http.StatusInternalServerError:
		sentence = unknownSentence
	default:
		sentence = http.StatusText(status)
	}
	return &Problem{ErrorModel: huma.ErrorModel{Type: "about:blank", Status: status, Title: http.StatusText(status), Detail: sentence}}
}
