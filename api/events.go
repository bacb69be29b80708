package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"

	"gaugerod/api/office"
	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

const (
	beat         = 25 * time.Second // a line of comment, so that nothing between takes the stream for dead
	beatTimeout  = 10 * time.Second // how long one write may take
	reconnectMin = 3000             // ms after which a client that lost the stream comes back
	mostMissed   = 20               // missed revisions that are told one by one; of more only the newest
)

// EventsQuery asks for the events of a job.
type EventsQuery struct {
	JobPath
	MineEvents
}

// MineEvents asks for the events of one's own job.
type MineEvents struct {
	LastEventID int64 `header:"Last-Event-ID" minimum:"0" doc:"The id of the last event that was received: what came since is told at once."`
}

// RevisionEvent is the data of an event named revision.
type RevisionEvent struct {
	Revision int64 `json:"revision" doc:"The job has this revision."`
}

// PlanEvent is the data of an event named plan.
type PlanEvent struct {
	Revision int64         `json:"revision" doc:"There is a plan of this revision."`
	AsOf     worktime.Date `json:"as_of" doc:"The day it is computed from."`
	Take     int           `json:"take" doc:"1 for the first plan of that revision and day, more for better ones found later."`
	Finish   *time.Time    `json:"finish,omitempty" doc:"When all is done by it."`
	Proven   *bool         `json:"proven,omitempty" doc:"Whether it is proven the shortest."`
}

func (s *Server) eventRoutes() {
	register(s, route{
		id: "watch", method: http.MethodGet, path: "/jobs/{job}/events",
		summary: "Live: how the job stands, and then each new revision and plan, as server-sent events named revision and plan",
		also:    eventStream,
	}, func(ctx context.Context, in *EventsQuery) (*huma.StreamResponse, error) {
		return s.events(ctx, in.Job, in.LastEventID, true)
	})
	register(s, route{
		id: "watch-mine", method: http.MethodGet, path: "/mine/events",
		summary: "Live, for a trade that came by its link: that its job has a new revision or plan, without when others are done",
		also:    eventStream,
	}, func(ctx context.Context, in *MineEvents) (*huma.StreamResponse, error) {
		link := signin.From(ctx).Link
		if link == nil {
			return nil, scheduler.ErrNotFound
		}
		return s.events(ctx, link.Job, in.LastEventID, false)
	})
}

// eventStream says of an operation that it answers with events.
func eventStream(op *huma.Operation) {
	op.Responses["200"] = &huma.Response{
		Description: "The stream; it ends when the service stops. Events named revision have RevisionEvent as data, those named plan PlanEvent; " +
			"their id is the revision. The plans of the newest revision are told again after each reconnection.",
		Content: map[string]*huma.MediaType{"text/event-stream": {Schema: &huma.Schema{Type: huma.TypeString}}},
	}
}

// events streams what becomes of a job, from the revision on that was told last.
// Whole says that whoever hears it may know when everybody is done.
func (s *Server) events(ctx context.Context, job scheduler.ID, last int64, whole bool) (*huma.StreamResponse, error) {
	watch := s.office.Subscribe(job)
	if err := watch.Look(ctx); err != nil {
		watch.Stop()
		return nil, err
	}
	return &huma.StreamResponse{Body: func(hc huma.Context) {
		defer watch.Stop()
		w := humaecho.Unwrap(hc).Response()
		w.Header().Set("Content-Type", "text/event-stream")
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("X-Accel-Buffering", "no")
		s.stream(hc.Context(), &eventWriter{w: w, control: http.NewResponseController(w), last: last, whole: whole}, watch)
	}}, nil
}

func (s *Server) stream(ctx context.Context, w *eventWriter, watch *office.Watch) {
	beats := time.NewTicker(beat)
	defer beats.Stop()
	w.text = fmt.Appendf(nil, "retry: %d\n\n", reconnectMin)
	for w.tell(watch) && w.send() {
		select {
		case <-ctx.Done():
			return
		case <-s.stopping:
			return
		case <-watch.News:
		case <-beats.C:
			w.text = append(w.text, ": still here\n\n"...)
		}
	}
}

// eventWriter writes events to one client.
type eventWriter struct {
	w       http.ResponseWriter
	control *http.ResponseController
	last    int64 // the revision told last, 0: none
	whole   bool
	text    []byte // to be sent
}

// tell writes what a watch has heard: the revisions since the last one, and plans.
func (w *eventWriter) tell(watch *office.Watch) bool {
	revision, _, plans := watch.Take()
	next := w.last + 1
	if w.last == 0 || revision-w.last > mostMissed || revision < w.last {
		next = revision
	}
	for ; next <= revision; next++ {
		if next != w.last && !w.event("revision", next, RevisionEvent{next}) {
			return false
		}
	}
	w.last = revision
	for k := range plans {
		p := &plans[k]
		e := PlanEvent{Revision: revision, AsOf: p.AsOf, Take: p.Take}
		if finish := p.Finish.UTC(); w.whole {
			e.Finish, e.Proven = &finish, &p.Proven
		}
		if !w.event("plan", revision, e) {
			return false
		}
	}
	return true
}

func (w *eventWriter) event(name string, id int64, data any) bool {
	text, err := json.Marshal(data)
	if err != nil {
		return false
	}
	w.text = fmt.Appendf(w.text, "event: %s\nid: %d\ndata: %s\n\n", name, id, text)
	return true
}

// send sends what there is to send.
func (w *eventWriter) send() bool {
	if len(w.text) == 0 {
		return true
	}
	// The server's own write timeout would end the stream.
	if err := w.control.SetWriteDeadline(time.Now().Add(beatTimeout)); err != nil {
		return false
	}
	_, err := w.w.Write(w.text)
	w.text = w.text[:0]
	return err == nil && w.control.Flush() == nil
}
