package fleet

import (
	"bufio"
	"crypto/tls"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// backend stands for an instance.
type backend struct {
	*httptest.Server
	mu     sync.Mutex
	got    []*http.Request // but those for /readyz
	breaks int             // so many requests are taken in, and then the connection ends
	more   chan string     // what an event stream has to tell
}

func newBackend(t *testing.T) *backend {
	t.Helper()
	b := &backend{more: make(chan string)}
	b.Server = httptest.NewServer(b)
	t.Cleanup(func() {
		b.CloseClientConnections()
		b.Close()
	})
	return b
}

func (b *backend) ServeHTTP(w http.ResponseWriter, q *http.Request) {
	if q.URL.Path == "/readyz" {
		return
	}
	io.Copy(io.Discard, q.Body)
	b.mu.Lock()
	b.got = append(b.got, q)
	broken := b.breaks > 0
	b.breaks--
	b.mu.Unlock()
	if broken {
		panic(http.ErrAbortHandler)
	}
	if strings.HasSuffix(q.URL.Path, "/events") {
		w.Header().Set("Content-Type", "text/event-stream")
		for data := range b.more {
			fmt.Fprintf(w, "data: %s\n\n", data)
			http.NewResponseController(w).Flush()
		}
	}
}

// taken is the requests so far, which are forgotten, and from now on so many break.
func (b *backend) taken(breaks int) []*http.Request {
	b.mu.Lock()
	defer b.mu.Unlock()
	all := b.got
	b.got, b.breaks = nil, breaks
	return all
}

// behind is the proxy in front of backends, and a client of it.
func behind(t *testing.T, backends ...*backend) (*proxy, *http.Client) {
	t.Helper()
	var instances []*instance
	for _, b := range backends {
		instances = append(instances, &instance{address: b.Listener.Addr().String()})
	}
	p, err := newProxy(folderOf(t), instances)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.process.end(syscall.SIGTERM) })
	c := &http.Client{
		Timeout: 30 * time.Second,
		// No HTTP/2 and no connection used twice: nothing but the proxy sends anything again.
		Transport:     &http.Transport{TLSClientConfig: &tls.Config{RootCAs: p.trusted}, DisableKeepAlives: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	return p, c
}

func send(t *testing.T, c *http.Client, method, url string, header ...string) *http.Response {
	t.Helper()
	q, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(`{"note": "x"}`))
	if err != nil {
		t.Fatal(err)
	}
	for k := 0; k < len(header); k += 2 {
		q.Header.Add(header[k], header[k+1])
	}
	got, err := c.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { got.Body.Close() })
	return got
}

func TestProxySaysItselfWhereRequestsComeFrom(t *testing.T) {
	t.Parallel()
	b := newBackend(t)
	p, c := behind(t, b)
	got := send(t, c, http.MethodGet, "https://"+p.address+"/jobs/house?secret=hush",
		"X-Forwarded-For", "203.0.113.9", "X-Forwarded-For", "203.0.113.10, 127.0.0.1", "X-Forwarded-Proto", "http",
		"Forwarded", "for=203.0.113.9", "X-Real-IP", "203.0.113.9", "X-Forwarded-Host", "elsewhere.example")
	if got.StatusCode != http.StatusOK || got.Header.Get("Strict-Transport-Security") == "" {
		t.Errorf("%s %v", got.Status, got.Header)
	}
	seen := b.taken(0)[0].Header
	for name, want := range map[string]string{
		"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Proto": "https", "Forwarded": "", "X-Real-Ip": "", "X-Forwarded-Host": "",
	} {
		if all := seen.Values(name); strings.Join(all, "|") != want {
			t.Errorf("%s: %q, want %q", name, all, want)
		}
	}
	got = send(t, c, http.MethodGet, "http://"+p.plain+"/jobs/house")
	if got.StatusCode != http.StatusPermanentRedirect || !strings.HasPrefix(got.Header.Get("Location"), "https://") || len(b.taken(0)) > 0 {
		t.Errorf("plain HTTP: %s to %s", got.Status, got.Header.Get("Location"))
	}
	if err := until("log the request", func() error {
		text, err := os.ReadFile(p.process.said)
		if err == nil && !strings.Contains(string(text), "GET /jobs 200") {
			err = fmt.Errorf("the log says %s", text)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if said := tail(p.process.said, 100); strings.Contains(said, "hush") || strings.Contains(said, "house") {
		t.Errorf("the log tells of what was asked for:\n%s", said)
	}
}

// What broke in the middle is sent again only where that does nothing twice.
func TestProxyRepeatsWhatMayBeRepeated(t *testing.T) {
	t.Parallel()
	b := newBackend(t)
	p, c := behind(t, b, newBackend(t))
	for _, k := range []struct {
		method string
		header []string
		again  bool
	}{
		{http.MethodGet, nil, true},
		{http.MethodPost, nil, false},
		{http.MethodPut, nil, false},
		{http.MethodPatch, nil, false},
		{http.MethodDelete, nil, false},
		{http.MethodPost, []string{"Idempotency-Key", "k1"}, true},
		{http.MethodPatch, []string{"Idempotency-Key", "k2"}, true},
	} {
		b.taken(1)
		var got *http.Response
		for had := false; !had; { // until the one that breaks has had its turn
			got = send(t, c, k.method, "https://"+p.address+"/api/jobs", k.header...)
			b.mu.Lock()
			had = len(b.got) > 0
			b.mu.Unlock()
		}
		want := http.StatusBadGateway
		if k.again {
			want = http.StatusOK
		}
		if got.StatusCode != want {
			t.Errorf("%s %v: %s, want %d", k.method, k.header, got.Status, want)
		}
	}
}

// An instance that is gone, and not yet known to be, costs nobody an answer.
func TestProxyPassesByWhoIsGone(t *testing.T) {
	t.Parallel()
	gone, b := newBackend(t), newBackend(t)
	p, c := behind(t, gone, b)
	gone.Close()
	for range 6 {
		if got := send(t, c, http.MethodPost, "https://"+p.address+"/api/jobs"); got.StatusCode != http.StatusOK {
			t.Errorf("%s", got.Status)
		}
	}
	if n := len(b.taken(0)); n != 6 {
		t.Errorf("the other one got %d requests", n)
	}
	b.Close()
	got := send(t, c, http.MethodPost, "https://"+p.address+"/api/jobs")
	if got.StatusCode != http.StatusServiceUnavailable || got.Header.Get("Retry-After") == "" {
		t.Errorf("nobody is there: %s %v", got.Status, got.Header)
	}
}

// Each event arrives before the next is written.
func TestProxyPassesEventsOnAsTheyCome(t *testing.T) {
	t.Parallel()
	b := newBackend(t)
	p, c := behind(t, b)
	answers := make(chan *http.Response)
	go func() { answers <- send(t, c, http.MethodGet, "https://"+p.address+"/api/jobs/house/events") }()
	b.more <- "1"
	lines := bufio.NewScanner((<-answers).Body)
	for k := range 3 {
		if lines.Scan(); lines.Text() != fmt.Sprint("data: ", k+1) {
			t.Fatalf("event %d is %q", k+1, lines.Text())
		}
		lines.Scan()
		if k < 2 {
			b.more <- fmt.Sprint(k + 2)
		}
	}
	close(b.more)
	if lines.Scan() {
		t.Errorf("after the end comes %q", lines.Text())
	}
}
