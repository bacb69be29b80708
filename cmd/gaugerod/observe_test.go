package main

import (
	"context"
	"net"
	"net/http"
	"strings"
	"testing"

	"github.com/rs/zerolog"
)

// TestServiceSeenFromOutside: metrics are answered where it was said and nowhere
// else.
func TestServiceSeenFromOutside(t *testing.T) {
	t.Parallel()
	at := free(t)
	s := serve(t, "--data", dataFolder(t), "--first", everyFeature, "--metrics", at)
	s.get(s.link)
	s.get(s.base + "/api/jobs/garden-studio/plan")
	if _, text := s.get(s.base + "/metrics"); strings.Contains(text, "gaugerod_request_seconds") {
		t.Error("the metrics are where the pages are")
	}
	status, text := s.get("http://" + at + "/metrics")
	for _, want := range []string{
		`gaugerod_request_seconds_count{method="GET",route="/sign-in",status="3xx"} 1`, "gaugerod_jobs 1\n", "gaugerod_database_up 1\n",
		"gaugerod_plan_seconds_count{proven=", "go_goroutines ", "process_resident_memory_bytes ",
	} {
		if status != http.StatusOK || !strings.Contains(text, want) {
			t.Errorf("status %d, no %s in %s", status, want, text)
		}
	}
	s.stop()
}

// free is an address that nobody listens on.
func free(t *testing.T) string {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

func TestMetricsWhereSomebodyElseListens(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	c := serveCommand{Metrics: listener.Addr().String()}
	if _, err := c.observe(context.Background(), nil, zerolog.Nop()); err == nil || !strings.Contains(err.Error(), "--metrics") {
		t.Errorf("%v", err)
	}
}
