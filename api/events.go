package api

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
)

const (
	beat         = 25 * time.Second // a line of comment, so that nothing between takes the stream for dead
	beatTimeout  = 10 * time.Second // how long one write may take
	reconnectMin = 3000             // ms after which a client that lost the stream comes back
)

func (s *Server) eventRoutes() {
	register(s, route{
		id: "watch", method: http.MethodGet, path: "/jobs/{job}/events",
		summary: "Live: the job's revision, at once and after each change, as server-sent events named revision; their data is the number",
		also: func(op *huma.Operation) {
			op.Responses["200"] = &huma.Response{Description: "The stream; it ends when the service stops.", Content: map[string]*huma.MediaType{
				"text/event-stream": {Schema: &huma.Schema{Type: huma.TypeString}},
			}}
		},
	}, s.watch)
}

// watch tells only the revision: whoever needs more asks for it.
func (s *Server) watch(ctx context.Context, in *JobPath) (*huma.StreamResponse, error) {
	revisions, stop := s.office.Subscribe(in.Job)
	_, revision, err := s.office.Job(ctx, in.Job)
	if err != nil {
		stop()
		return nil, err
	}
	return &huma.StreamResponse{Body: func(hc huma.Context) {
		defer stop()
		w := humaecho.Unwrap(hc).Response()
		w.Header().Set("Content-Type", "text/event-stream")
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("X-Accel-Buffering", "no")
		s.stream(hc.Context(), w, revision, revisions)
	}}, nil
}

func (s *Server) stream(ctx context.Context, w http.ResponseWriter, revision int64, revisions <-chan int64) {
	control := http.NewResponseController(w)
	send := func(format string, args ...any) bool {
		// The server's own write timeout would end the stream.
		if err := control.SetWriteDeadline(time.Now().Add(beatTimeout)); err != nil {
			return false
		}
		if _, err := fmt.Fprintf(w, format, args...); err != nil {
			return false
		}
		return control.Flush() == nil
	}
	beats := time.NewTicker(beat)
	defer beats.Stop()
	ok := send("retry: %d\nevent: revision\nid: %d\ndata: %d\n\n", reconnectMin, revision, revision)
	for ok {
		select {
		case <-ctx.Done():
			return
		case <-s.stopping:
			return
		case next := <-revisions:
			if next > revision {
				revision = next
				ok = send("event: revision\nid: %d\ndata: %d\n\n", revision, revision)
			}
		case <-beats.C:
			ok = send(": still here\n\n")
		}
	}
}
