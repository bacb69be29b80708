package api

import (
	"context"
	"net/http"
	"time"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/compare"
	"gaugerod/scheduler/worktime"
)

// LetterPath names one issue in an address.
type LetterPath struct {
	Letter string `path:"letter" maxLength:"4" doc:"The revision letter."`
}

// IssueBody is a plan that was sent out.
type IssueBody struct {
	Letter string        `json:"letter"`
	On     worktime.Date `json:"on" doc:"The day it was sent out."`
	AsOf   worktime.Date `json:"as_of" doc:"The day its plan was computed from."`
	By     scheduler.ID  `json:"by"`
	Note   string        `json:"note,omitempty"`
}

// IssuesBody is every plan that was sent out, and what is promised now.
type IssuesBody struct {
	Standing
	Issues   []IssueBody   `json:"issues" nullable:"false" doc:"The oldest first."`
	Promises []PromiseBody `json:"promises" nullable:"false" doc:"The windows agreed with trades: those of the last issue, and what trades confirmed."`
	Answers  []AbsenceBody `json:"answers" nullable:"false" doc:"What trades said of windows in which they cannot come."`
}

// PromiseBody is a window of access that was agreed with a trade.
type PromiseBody struct {
	Window    string         `json:"window"`
	Trade     scheduler.ID   `json:"trade"`
	Place     scheduler.ID   `json:"place"`
	Steps     []scheduler.ID `json:"steps" nullable:"false"`
	From      worktime.Date  `json:"from"`
	Until     worktime.Date  `json:"until" doc:"The last day."`
	Letter    string         `json:"letter,omitempty" doc:"The issue it stems from."`
	Confirmed *worktime.Date `json:"confirmed,omitempty" doc:"The day on which the trade said that it comes."`
	By        scheduler.ID   `json:"by,omitempty" doc:"Who confirmed it: the trade, or a person who had its word."`
}

// AbsenceBody is a trade's word that it cannot come.
type AbsenceBody struct {
	Window string        `json:"window"`
	Trade  scheduler.ID  `json:"trade"`
	Place  scheduler.ID  `json:"place"`
	From   worktime.Date `json:"from"`
	To     worktime.Date `json:"to" doc:"The last day."`
	On     worktime.Date `json:"on" doc:"The day it said so."`
	By     scheduler.ID  `json:"by"`
	Note   string        `json:"note,omitempty"`
}

// SendBody sends a plan out.
type SendBody struct {
	By   scheduler.ID   `json:"by" maxLength:"100" doc:"The person who sends it out."`
	On   *worktime.Date `json:"on,omitempty" doc:"Left out: the day the plan is computed from."`
	Note string         `json:"note,omitempty" maxLength:"2000"`
}

// Issued is what sending out gives back.
type Issued struct {
	ETag string `header:"ETag" doc:"The new revision."`
	Body struct {
		ChangedBody
		Letter string `json:"letter" doc:"The revision letter of the issue."`
	}
}

// IssuedPlanBody is a plan as it was sent out.
type IssuedPlanBody struct {
	Letter   string          `json:"letter"`
	Revision int64           `json:"revision" doc:"The revision that the issue made."`
	MadeAt   time.Time       `json:"made_at"`
	Who      string          `json:"who" doc:"In whose name, as the history has it."`
	Plan     *scheduler.Plan `json:"plan"`
}

// MovedBody is what differs between an issued plan and the current one.
type MovedBody struct {
	Standing
	Since string              `json:"since" doc:"The letter of the issue that is compared."`
	Moved *compare.Comparison `json:"moved"`
}

func (s *Server) issueRoutes() {
	register(s, route{
		id: "issue-plan", method: http.MethodPost, path: "/jobs/{job}/issues",
		summary: "Send the plan as it stands out as the agreed one, with the next letter",
	}, s.issuePlan)
	register(s, get("list-issues", "/jobs/{job}/issues", "Plans sent out, and what is agreed with trades"),
		func(ctx context.Context, in *JobQuery) (*Answer[IssuesBody], error) {
			return answerJob(ctx, s, in, func(j *scheduler.Job, standing Standing) (IssuesBody, error) { return showIssues(j, standing), nil })
		})
	register(s, get("get-issue", "/jobs/{job}/issues/{letter}", "The plan as it was sent out under a letter; it never changes"), s.getIssue)
	s.saidRoutes()
	register(s, get("list-moved", "/jobs/{job}/moved", "What has moved since an issue, and who must be told"), s.listMoved)
}

// WindowPath names one window of access in an address.
type WindowPath struct {
	Window string `path:"window" maxLength:"250" doc:"The window's id."`
}

// SaidBody says who had a trade's word.
type SaidBody struct {
	By scheduler.ID `json:"by" maxLength:"100" doc:"The trade, or the person who had its word."`
}

func (s *Server) saidRoutes() {
	register(s, route{
		id: "confirm-window", method: http.MethodPost, path: "/jobs/{job}/windows/{window}/confirm",
		summary: "Record a trade's word that it comes in a window, on the days that it was told",
	}, func(ctx context.Context, in *struct {
		Change
		WindowPath
		Body struct {
			SaidBody
			ShownDays
		}
	},
	) (*Changed, error) {
		seen := office.Days{From: in.Body.From, Until: in.Body.Until}
		return s.edited(ctx, in.Change, func(e db.Edit) (int64, error) {
			return s.office.Confirm(ctx, in.Job, office.Word{By: in.Body.By}, in.Window, &seen, e)
		})
	})
	register(s, route{
		id: "record-absence", method: http.MethodPost, path: "/jobs/{job}/windows/{window}/cannot-come",
		summary: "Record on which days a trade has said that it cannot come; the plan keeps clear of them",
	}, func(ctx context.Context, in *struct {
		Change
		WindowPath
		Body struct {
			SaidBody
			AwayBody
		}
	},
	) (*Changed, error) {
		a := scheduler.Answer{From: in.Body.From, To: in.Body.To, Note: in.Body.Note}
		return s.edited(ctx, in.Change, func(e db.Edit) (int64, error) {
			return s.office.CannotCome(ctx, in.Job, office.Word{By: in.Body.By}, in.Window, a, e)
		})
	})
}

func (s *Server) issuePlan(ctx context.Context, in *struct {
	Change
	Body SendBody
},
) (*Issued, error) {
	i := scheduler.Issue{By: in.Body.By, Note: in.Body.Note}
	if in.Body.On != nil {
		i.On = *in.Body.On
	}
	var letter string
	made, err := s.edited(ctx, in.Change, func(e db.Edit) (revision int64, err error) {
		letter, revision, err = s.office.Issue(ctx, in.Job, e, i)
		return revision, err
	})
	if err != nil {
		return nil, err
	}
	out := &Issued{ETag: made.ETag}
	out.Body.ChangedBody, out.Body.Letter = made.Body, letter
	return out, nil
}

func showIssues(j *scheduler.Job, standing Standing) IssuesBody {
	b := IssuesBody{Standing: standing, Issues: make([]IssueBody, 0), Promises: make([]PromiseBody, 0), Answers: make([]AbsenceBody, 0)}
	for _, i := range j.Issues {
		b.Issues = append(b.Issues, IssueBody{Letter: i.Letter, On: i.On, AsOf: i.AsOf, By: i.By, Note: i.Note})
	}
	for _, p := range j.Promises {
		b.Promises = append(b.Promises, PromiseBody{
			Window: p.Window, Trade: p.Trade, Place: p.Place, Steps: list(p.Steps), From: p.From, Until: p.Until,
			Letter: p.Letter, Confirmed: p.Confirmed, By: p.By,
		})
	}
	for _, a := range j.Answers {
		b.Answers = append(b.Answers, AbsenceBody{
			Window: a.Window, Trade: a.Trade, Place: a.Place, From: a.From, To: a.To, On: a.On, By: a.By, Note: a.Note,
		})
	}
	return b
}

func (s *Server) getIssue(ctx context.Context, in *struct {
	JobQuery
	LetterPath
},
) (*Answer[IssuedPlanBody], error) {
	p, err := s.office.IssuedPlan(ctx, in.Job, in.Letter)
	if err != nil {
		return nil, err
	}
	etag := `"` + p.Letter + `"` // what was sent out stays what it is
	if err := unchanged(in.IfNoneMatch, etag); err != nil {
		return nil, err
	}
	return &Answer[IssuedPlanBody]{ETag: etag, CacheControl: revalidate, Body: IssuedPlanBody{
		Letter: p.Letter, Revision: p.Revision, MadeAt: p.MadeAt, Who: p.By, Plan: p.Plan,
	}}, nil
}

func (s *Server) listMoved(ctx context.Context, in *struct {
	JobQuery
	Since string `query:"since" maxLength:"4" doc:"The letter of the issue to compare with; left out: the last one."`
},
) (*Answer[MovedBody], error) {
	sheet, issued, moved, err := s.office.Moved(ctx, in.Job, in.Since)
	if err != nil {
		return nil, err
	}
	etag := planTag(sheet.Revision, sheet.AsOf, sheet.Take)
	if err := unchanged(in.IfNoneMatch, etag); err != nil {
		return nil, err
	}
	return &Answer[MovedBody]{ETag: etag, CacheControl: revalidate, Body: MovedBody{
		Standing: Standing{Revision: sheet.Revision, AsOf: &sheet.AsOf}, Since: issued.Letter, Moved: moved,
	}}, nil
}
