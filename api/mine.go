package api

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// What a trade has by its private link. Job and trade come from the link and from
// nowhere else; another firm's window or step is not there.

// MyQuery reads something of one's own.
type MyQuery struct {
	IfNoneMatch string `header:"If-None-Match" doc:"An ETag seen before: 304 when nothing has changed since."`
}

// MyChange is what every answer of a trade takes besides what it says.
type MyChange struct {
	IfMatch string `header:"If-Match" doc:"The ETag the answer was made from: 412 when the job has changed since."`
	Key     string `header:"Idempotency-Key" minLength:"1" maxLength:"200" doc:"A name of your own for this request. Sent again with the same name, after a lost answer, it changes nothing and gives the same revision."`
}

// MyWindowPath names one of one's own windows in an address.
type MyWindowPath struct {
	Window string `path:"window" maxLength:"250" doc:"The window's id."`
}

// MineBody is the job and the trade, and its next visit.
type MineBody struct {
	Standing
	Job   string             `json:"job" doc:"The job's title."`
	Zone  string             `json:"zone"`
	Trade scheduler.ID       `json:"trade"`
	Title string             `json:"title" doc:"The trade's."`
	Next  *office.MyWindow   `json:"next,omitempty" doc:"The next visit that has not begun."`
	Off   []office.MyAbsence `json:"off" nullable:"false" doc:"Days on which you do not come."`
	Site  SiteBody           `json:"site" doc:"What there is to know of the site."`
}

// MyWindowsBody is the windows of one trade.
type MyWindowsBody struct {
	Standing
	Windows []office.MyWindow `json:"windows" nullable:"false"`
}

// MyTasksBody is the steps of one trade.
type MyTasksBody struct {
	Standing
	Tasks []office.MyTask `json:"tasks" nullable:"false" doc:"The earliest first."`
}

// ShownDays are the days of a window as they were shown.
type ShownDays struct {
	From  worktime.Date `json:"from" doc:"The first day, as you were shown it."`
	Until worktime.Date `json:"until" doc:"The last day, as you were shown it."`
}

// AwayBody says on which days a trade cannot come.
type AwayBody struct {
	From worktime.Date `json:"from"`
	To   worktime.Date `json:"to" doc:"The last day."`
	Note string        `json:"note,omitempty" maxLength:"1000"`
}

// ProgressBody says how far a step is.
type ProgressBody struct {
	Started   *worktime.When `json:"started,omitempty"`
	Done      *worktime.When `json:"done,omitempty"`
	Remaining *worktime.Span `json:"remaining,omitempty" doc:"What is left of a started step."`
	Note      string         `json:"note,omitempty" maxLength:"1000"`
}

// MyChanged is what an answer gives back.
type MyChanged struct {
	ETag string `header:"ETag" doc:"The new revision."`
	Body struct {
		Revision int64 `json:"revision" doc:"The revision that holds the answer; the same as before when nothing differs."`
	}
}

func (s *Server) mineRoutes() {
	register(s, get("get-mine", "/mine", "The job and your trade, and your next visit"),
		func(ctx context.Context, in *MyQuery) (*Answer[MineBody], error) {
			return answerMine(ctx, s, in, func(m *office.Mine, standing Standing) MineBody {
				return MineBody{Standing: standing, Job: m.Job, Zone: m.Zone, Trade: m.Trade, Title: m.Title, Next: m.Next(), Off: m.Off, Site: SiteBody(m.Site)}
			})
		})
	register(s, get("list-my-windows", "/mine/windows", "Your windows of access: when a place is yours, and what must be ready first"),
		func(ctx context.Context, in *MyQuery) (*Answer[MyWindowsBody], error) {
			return answerMine(ctx, s, in, func(m *office.Mine, standing Standing) MyWindowsBody {
				return MyWindowsBody{Standing: standing, Windows: m.Windows}
			})
		})
	register(s, get("list-my-tasks", "/mine/tasks", "Your steps and how far they are"),
		func(ctx context.Context, in *MyQuery) (*Answer[MyTasksBody], error) {
			return answerMine(ctx, s, in, func(m *office.Mine, standing Standing) MyTasksBody {
				return MyTasksBody{Standing: standing, Tasks: m.Tasks}
			})
		})
	register(s, route{
		id: "get-my-calendar", method: http.MethodGet, path: "/mine/calendar", summary: "Your windows of access as a calendar (iCalendar, RFC 5545)",
		also: answersCalendar,
	}, s.getMyCalendar)
	register(s, route{
		id: "confirm-my-window", method: http.MethodPost, path: "/mine/windows/{window}/confirm",
		summary: "Say that you come in a window, on the days that you were shown",
	}, s.confirmMine)
	register(s, route{
		id: "cannot-come", method: http.MethodPost, path: "/mine/windows/{window}/cannot-come",
		summary: "Say on which days you cannot come; the plan keeps clear of them",
	}, s.cannotCome)
	register(s, route{
		id: "tell-progress", method: http.MethodPatch, path: "/mine/steps/{step}/progress",
		summary: "Say that a step is started, done or part done; what is left out stays as it was",
	}, s.tellProgress)
}

// answersCalendar has the document say that an operation answers a calendar.
func answersCalendar(op *huma.Operation) {
	op.Responses["200"] = &huma.Response{Description: "The calendar.", Content: map[string]*huma.MediaType{
		"text/calendar": {Schema: &huma.Schema{Type: huma.TypeString}},
	}}
}

// errNoLink says that a request has come without a trade's link to where only those
// lead. The table of rights lets none through.
var errNoLink = errors.New("a trade's own part was asked for without a trade's link")

// mine is the sheet that the trade of a request sees, and what it sees of it.
func (s *Server) mine(ctx context.Context) (*office.Sheet, *office.Mine, error) {
	link := signin.From(ctx).Link
	if link == nil {
		return nil, nil, errNoLink
	}
	sheet, err := s.office.Sheet(ctx, link.Job, nil)
	if err != nil {
		return nil, nil, err
	}
	m, err := sheet.Mine(link.Trade)
	return sheet, m, err
}

// mineAnew is mine with its ETag, or the answer that nothing has changed since.
func (s *Server) mineAnew(ctx context.Context, in *MyQuery) (*office.Sheet, *office.Mine, string, error) {
	sheet, m, err := s.mine(ctx)
	if err != nil {
		return nil, nil, "", err
	}
	etag := planTag(sheet.Revision, sheet.AsOf, sheet.Take)
	return sheet, m, etag, unchanged(in.IfNoneMatch, etag)
}

// answerMine reads something of one's own.
func answerMine[B any](ctx context.Context, s *Server, in *MyQuery, show func(*office.Mine, Standing) B) (*Answer[B], error) {
	sheet, m, etag, err := s.mineAnew(ctx, in)
	if err != nil {
		return nil, err
	}
	return &Answer[B]{ETag: etag, CacheControl: revalidate, Body: show(m, Standing{Revision: sheet.Revision, AsOf: &sheet.AsOf})}, nil
}

func (s *Server) getMyCalendar(ctx context.Context, in *MyQuery) (*calendarAnswer, error) {
	sheet, m, etag, err := s.mineAnew(ctx, in)
	if err != nil {
		return nil, err
	}
	trade, err := findTrade(sheet.Job, m.Trade)
	if err != nil {
		return nil, err
	}
	text, err := s.calendar(ctx, sheet, trade)
	return &calendarAnswer{ETag: etag, CacheControl: revalidate, ContentType: calendarType, Body: text}, err
}

// answered makes an answer of a trade, in the name of its link. It tells nothing of
// what others have changed.
func (s *Server) answered(ctx context.Context, in MyChange, do func(link *signin.TradeLink, e db.Edit) (int64, error)) (*MyChanged, error) {
	v := signin.From(ctx)
	if v.Link == nil {
		return nil, errNoLink
	}
	at, err := revisionOf(in.IfMatch)
	if err != nil {
		return nil, err
	}
	revision, err := do(v.Link, db.Edit{By: v.Author(), At: at, Key: in.Key, Print: printOf(ctx)})
	if err != nil {
		return nil, err
	}
	out := &MyChanged{ETag: tag(revision)}
	out.Body.Revision = revision
	return out, nil
}

func (s *Server) confirmMine(ctx context.Context, in *struct {
	MyChange
	MyWindowPath
	Body ShownDays
},
) (*MyChanged, error) {
	seen := office.Days{From: in.Body.From, Until: in.Body.Until}
	return s.answered(ctx, in.MyChange, func(link *signin.TradeLink, e db.Edit) (int64, error) {
		return s.office.Confirm(ctx, link.Job, office.OwnWord(link.Trade), in.Window, &seen, e)
	})
}

func (s *Server) cannotCome(ctx context.Context, in *struct {
	MyChange
	MyWindowPath
	Body AwayBody
},
) (*MyChanged, error) {
	a := scheduler.Answer{From: in.Body.From, To: in.Body.To, Note: in.Body.Note}
	return s.answered(ctx, in.MyChange, func(link *signin.TradeLink, e db.Edit) (int64, error) {
		return s.office.CannotCome(ctx, link.Job, office.OwnWord(link.Trade), in.Window, a, e)
	})
}

func (s *Server) tellProgress(ctx context.Context, in *struct {
	MyChange
	StepPath
	Body ProgressBody
},
) (*MyChanged, error) {
	f := scheduler.Fact{Step: in.Step, Started: in.Body.Started, Done: in.Body.Done, Remaining: in.Body.Remaining, Note: in.Body.Note}
	return s.answered(ctx, in.MyChange, func(link *signin.TradeLink, e db.Edit) (int64, error) {
		return s.office.Progress(ctx, link.Job, link.Trade, f, e)
	})
}
