package main

import (
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
)

func TestReady(t *testing.T) {
	t.Parallel()
	var asked, after atomic.Int64 // how many questions, and from which on the answer is yes
	service := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		if n := asked.Add(1); q.URL.Path != "/readyz" || n <= after.Load() {
			w.WriteHeader(http.StatusServiceUnavailable)
		}
	}))
	defer service.Close()
	at := strings.TrimPrefix(service.URL, "http://")
	_, port, err := net.SplitHostPort(at)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		after  int64
		args   []string
		status int
		says   string
	}{
		{"ready", 0, []string{"--listen", at}, statusClean, "ready"},
		{"listens everywhere", 0, []string{"--listen", "0.0.0.0:" + port}, statusClean, "ready"},
		{"no host", 0, []string{"--listen", ":" + port}, statusClean, "ready"},
		{"not ready", 1000, []string{"--listen", at}, statusBad, "503"},
		{"ready after a while", 3, []string{"--listen", at, "--wait", "1m"}, statusClean, "ready"},
		{"nobody there", 0, []string{"--listen", "127.0.0.1:1"}, statusBad, "nothing answers at http://127.0.0.1:1"},
		{"no address", 0, []string{"--listen", "nowhere"}, statusBad, "no HOST:PORT"},
	} {
		asked.Store(0)
		after.Store(c.after)
		got := call(t, nil, append([]string{"ready"}, c.args...)...)
		if got.status != c.status || !strings.Contains(got.out+got.err, c.says) {
			t.Errorf("%s: status %d: %s%s", c.name, got.status, got.out, got.err)
		}
		if c.after == 3 && asked.Load() != 4 {
			t.Errorf("%s: asked %d times", c.name, asked.Load())
		}
	}
}
