package api

import (
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"
)

// TestSlowClients: who sends a request drop by drop is cut off, in its head as in its
// body, and holds nobody else up meanwhile.
func TestSlowClients(t *testing.T) {
	s := newSite(t).withExample()
	s.server.patience = patience{header: 300 * time.Millisecond, read: 600 * time.Millisecond, write: time.Minute, idle: 300 * time.Millisecond}
	r := run(t, s)
	slow := func(first, drop string) (answer string) {
		conn, err := net.Dial("tcp", strings.TrimPrefix(r.base, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		conn.SetDeadline(time.Now().Add(time.Minute))
		done := make(chan string, 1)
		go func() {
			all, _ := io.ReadAll(conn)
			done <- string(all)
		}()
		io.WriteString(conn, first)
		for {
			select {
			case answer := <-done:
				return answer
			case <-time.After(50 * time.Millisecond):
				io.WriteString(conn, drop) // fails once it is cut off
			}
		}
	}
	if got := slow("GET /healthz HTTP/1.1\r\nHost: rod.example\r\nX-Drop: ", "x"); strings.Contains(got, "200 OK") {
		t.Errorf("a head without end was answered with %s", got)
	}
	head := "PATCH " + garden + "/facts/frame HTTP/1.1\r\nHost: rod.example\r\nAuthorization: Bearer " + s.token +
		"\r\nContent-Type: application/json\r\nContent-Length: 10000\r\n\r\n"
	if got := slow(head, " "); !strings.HasPrefix(got, "HTTP/1.1 408 ") {
		t.Errorf("a body without end was answered with %s", got)
	}
	if got := slow("GET /healthz HTTP/1.1\r\nHost: rod.example\r\n\r\n", ""); !strings.HasPrefix(got, "HTTP/1.1 200 ") {
		t.Errorf("who then says nothing was answered with %s", got)
	}
	big := "GET /healthz HTTP/1.1\r\nHost: rod.example\r\nX-Big: " + strings.Repeat("x", 2*maxHeader) + "\r\n\r\n"
	if got := slow(big, ""); !strings.HasPrefix(got, "HTTP/1.1 431 ") {
		t.Errorf("a huge head was answered with %.200s", got)
	}
	if got := r.open(t, "/healthz"); got.StatusCode != http.StatusOK {
		t.Errorf("afterwards: %d", got.StatusCode)
	}
}

// TestBodiesThatBreakOff are the client's doing and told as such.
func TestBodiesThatBreakOff(t *testing.T) {
	s := newSite(t).withExample()
	r := httptest.NewRequest(http.MethodPatch, garden+"/facts/frame", io.MultiReader(strings.NewReader(`{"done":`), broken{}))
	r.Header.Set("Authorization", "Bearer "+s.token)
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	if w.Code != http.StatusBadRequest {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errors.New("connection reset by 198.51.100.7") }

func TestDepthOfBodies(t *testing.T) {
	s := newSite(t).withExample()
	deep := func(n int) string {
		return `{"note":` + strings.Repeat(`[`, n) + strings.Repeat(`]`, n) + `}`
	}
	s.send("PATCH", garden+"/facts/frame", deep(deepestJSON)).problem(http.StatusBadRequest, "about:blank")
	for _, body := range []string{strings.Repeat(`[`, 500_000), strings.Repeat(`{"a":`, 150_000), deep(deepestJSON - 1)} {
		if got := s.send("PATCH", garden+"/facts/frame", body); got.status < 400 || got.status >= 500 {
			t.Errorf("%.60s: %d", body, got.status)
		}
	}
	s.send("PATCH", garden+"/facts/frame", `{"note":"`+strings.Repeat("[", 100)+`"}`).want(http.StatusOK)
	for text, want := range map[string]int{
		``: 0, `{}`: 1, `[{"a":[1]}]`: 3, `"[[["`: 0, `"\"[["`: 0, `"\\"[`: 1, `[]][`: 1, `]]]]]][`: 0, `["]["]`: 1,
	} {
		if got := depthOf([]byte(text)); got != want {
			t.Errorf("%s lies %d deep, want %d", text, got, want)
		}
	}
}

// TestStreamsOfOneSession: so many at once, whatever others have open, and as many
// again when they have ended.
func TestStreamsOfOneSession(t *testing.T) {
	s := newSite(t).withExample().counted(down{})
	r := run(t, s)
	const stream = garden + "/events"
	for range 2 {
		var open []*http.Response
		for range mostStreams {
			got := r.open(t, stream)
			if got.StatusCode != http.StatusOK {
				t.Fatalf("number %d: %d", len(open), got.StatusCode)
			}
			open = append(open, got)
		}
		if got := s.figure("gaugerod_event_streams"); got != fmt.Sprint(mostStreams) {
			t.Errorf("%s streams are counted", got)
		}
		got := r.open(t, stream)
		if got.StatusCode != http.StatusTooManyRequests || got.Header.Get("Retry-After") == "" {
			t.Errorf("one more: %d, Retry-After %q", got.StatusCode, got.Header.Get("Retry-After"))
		}
		for _, got := range open {
			got.Body.Close()
		}
		for end := time.Now().Add(time.Minute); s.figure("gaugerod_event_streams") != "0" && time.Now().Before(end); {
			time.Sleep(5 * time.Millisecond)
		}
	}
	s.server.streams.mu.Lock()
	defer s.server.streams.mu.Unlock()
	if n := len(s.server.streams.of); n != 0 {
		t.Errorf("%d sessions are remembered that have none open", n)
	}
}

func TestOnlyTLSWhereItIsSpoken(t *testing.T) {
	s := newSite(t)
	if got := s.get("/healthz").header.Get("Strict-Transport-Security"); got != "" {
		t.Errorf("over plain HTTP: %q", got)
	}
	parts := s.parts
	parts.Config.HTTPS = true
	var err error
	if s.server, err = New(parts); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/healthz", "/nowhere", "/api/nowhere", "/sign-in"} {
		if got := s.get(path, signedOut).header.Get("Strict-Transport-Security"); !strings.HasPrefix(got, "max-age=") {
			t.Errorf("%s: %q", path, got)
		}
	}
}

// TestLogOfTheLibrary: what the HTTP library says of clients is told without their
// addresses.
func TestLogOfTheLibrary(t *testing.T) {
	to := &lines{}
	hs := usual.listens(http.NotFoundHandler(), zerolog.New(to))
	hs.ErrorLog.Print(strings.ReplaceAll("http: TLS handshake error from 198.51.100.7:4711: EOF; and [2001:db8::7ZONE]:80 and 198.51.100.9", "ZONE", "%lo"))
	if log := to.String(); strings.Contains(log, "198.") || strings.Contains(log, "2001") || !strings.Contains(log, "TLS handshake error from a client: EOF") {
		t.Error(log)
	}
}

// TestWhatIsNoText never gets as far as the database.
func TestWhatIsNoText(t *testing.T) {
	s := newSite(t).withExample()
	for _, path := range []string{"/api/jobs/garden%00studio", garden + "/steps/%ff", "/sign-in%00", "/%c3%28"} {
		s.get(path).problem(http.StatusNotFound, "about:blank")
	}
	for _, path := range []string{garden + "/steps?trade=%00", garden + "/plan?as_of=%ff", "/sign-in?secret=%00", garden + "?%00=1"} {
		s.get(path).problem(http.StatusBadRequest, "about:blank")
	}
	s.get(garden, header("User-Agent", "phone \xff of \xc3\x28kim"), header("If-None-Match", "\xff")).want(http.StatusOK)
	s.send("PUT", garden+"/trades/cladding/crews", `{"crews":2}`, header("Idempotency-Key", "a\xffb")).want(http.StatusOK)
	s.send("PATCH", garden+"/facts/frame", "{\"note\":\"\xff\x00\"}").problem(http.StatusBadRequest, "about:blank")
	if got := s.send("PATCH", garden+"/facts/frame", `{"note":"a\u0000b"}`); got.status < 400 || got.status >= 500 {
		t.Errorf("%d %s", got.status, got.body)
	}
}
