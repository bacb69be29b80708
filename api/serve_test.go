package api

import (
	"bufio"
	"context"
	"errors"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"gaugerod/api/rights"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// running is a site that answers on a port.
type running struct {
	*site
	base   string
	client *http.Client
	stop   context.CancelFunc
	served chan error
}

func run(t *testing.T, s *site) *running {
	t.Helper()
	l, err := Listen(t.Context(), ":0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	r := &running{site: s, base: "http://" + l.Addr().String(), client: &http.Client{Transport: &http.Transport{}}, stop: stop, served: make(chan error, 1)}
	go func() { r.served <- s.server.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		r.client.CloseIdleConnections()
	})
	return r
}

func (r *running) open(t *testing.T, path string) *http.Response {
	t.Helper()
	q, err := http.NewRequestWithContext(t.Context(), http.MethodGet, r.base+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Authorization", "Bearer "+r.token)
	got, err := r.client.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { got.Body.Close() })
	return got
}

func (r *running) stopped(t *testing.T) {
	t.Helper()
	select {
	case err := <-r.served:
		if err != nil {
			t.Fatalf("ended with %v", err)
		}
	case <-time.After(5 * time.Second):
		t.Fatal("the service does not stop")
	}
}

// events reads the data of revision events.
func events(t *testing.T, got *http.Response) func() string {
	t.Helper()
	next := everyEvent(t, got)
	return func() string {
		for {
			switch e := next(); e.name {
			case "revision", "end":
				return e.data
			}
		}
	}
}

// event is one event of a stream; that it has ended is one too.
type event struct{ name, id, data string }

// everyEvent reads the events of a stream.
func everyEvent(t *testing.T, got *http.Response) func() event {
	t.Helper()
	if got.StatusCode != http.StatusOK || got.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("%d %s", got.StatusCode, got.Header.Get("Content-Type"))
	}
	lines := bufio.NewScanner(got.Body)
	return func() (e event) {
		for lines.Scan() {
			name, value, _ := strings.Cut(lines.Text(), ": ")
			switch name {
			case "event":
				e.name = value
			case "id":
				e.id = value
			case "data":
				e.data = value
				return e
			}
		}
		return event{name: "end", data: "end"}
	}
}

func TestLiveRevisions(t *testing.T) {
	s := newSite(t).withExample()
	r := run(t, s)
	next := events(t, r.open(t, garden+"/events"))
	if got := next(); got != `{"revision":1}` {
		t.Fatalf("first comes %q, want the revision as it is", got)
	}
	s.send("PUT", garden+"/trades/cladding/crews", `{"crews":2}`).want(http.StatusOK)
	if got := next(); got != `{"revision":2}` {
		t.Fatalf("then comes %q", got)
	}
	// Another instance changes the job in the same database.
	if _, err := s.store.Change(t.Context(), "garden-studio", db.By("elsewhere"), func(j *scheduler.Job) error { return j.SetCrews("cladding", 3) }); err != nil {
		t.Fatal(err)
	}
	if got := next(); got != `{"revision":3}` {
		t.Fatalf("from elsewhere comes %q", got)
	}
	r.stop()
	if got := next(); got != "end" {
		t.Fatalf("when it stops comes %q", got)
	}
	r.stopped(t)
}

func TestStopLetsRequestsFinish(t *testing.T) {
	s := newSite(t).withExample()
	begun, finish := make(chan struct{}), make(chan struct{})
	s.server.guard.Table["GET /slow"] = rights.Everybody("a test")
	s.server.echo.GET("/slow", func(c echo.Context) error {
		close(begun)
		<-finish
		return c.String(http.StatusOK, "done")
	})
	r := run(t, s)
	answered := make(chan int, 1)
	go func() {
		q, _ := http.NewRequestWithContext(context.Background(), http.MethodGet, r.base+"/slow", nil)
		got, err := r.client.Do(q)
		if err != nil {
			answered <- 0
			return
		}
		got.Body.Close()
		answered <- got.StatusCode
	}()
	<-begun
	r.stop()
	for { // no new ones meanwhile
		c, err := net.Dial("tcp", strings.TrimPrefix(r.base, "http://"))
		if err != nil {
			break
		}
		c.Close()
		time.Sleep(time.Millisecond)
	}
	close(finish)
	if status := <-answered; status != http.StatusOK {
		t.Fatalf("the running request got %d", status)
	}
	r.stopped(t)
}

func TestServeTellsOfAListenerThatFails(t *testing.T) {
	s := newSite(t)
	l, err := Listen(t.Context(), ":0")
	if err != nil {
		t.Fatal(err)
	}
	l.Close()
	if err := s.server.Serve(t.Context(), l); !errors.Is(err, net.ErrClosed) {
		t.Fatalf("got %v", err)
	}
}

// TestStreamsOutliveTheServersTimeouts: the timeouts that end slow requests leave
// event streams alone.
func TestStreamsOutliveTheServersTimeouts(t *testing.T) {
	s := newSite(t).withExample()
	hs := httptest.NewUnstartedServer(s.server.Handler())
	hs.Config.ReadTimeout, hs.Config.WriteTimeout = 50*time.Millisecond, 50*time.Millisecond
	hs.Start()
	defer hs.Close()
	r := &running{site: s, base: hs.URL, client: hs.Client()}
	next := events(t, r.open(t, garden+"/events"))
	if got := next(); got != `{"revision":1}` {
		t.Fatalf("first comes %q", got)
	}
	time.Sleep(200 * time.Millisecond)
	s.send("PUT", garden+"/trades/cladding/crews", `{"crews":2}`).want(http.StatusOK)
	if got := next(); got != `{"revision":2}` {
		t.Fatalf("after the timeouts comes %q", got)
	}
	close(s.server.stopping)
	if got := next(); got != "end" {
		t.Fatalf("when it stops comes %q", got)
	}
}
