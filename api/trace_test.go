package api

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/rs/zerolog"
	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	"google.golang.org/protobuf/proto"
)

// receiver takes traces as they come over HTTP.
type receiver struct {
	mu     sync.Mutex
	bodies []byte
	spans  map[string]string // name to trace
	says   int               // the status it answers with
}

func (r *receiver) ServeHTTP(w http.ResponseWriter, in *http.Request) {
	r.mu.Lock()
	defer r.mu.Unlock()
	body, _ := io.ReadAll(in.Body)
	r.bodies = append(r.bodies, body...)
	var sent collector.ExportTraceServiceRequest
	if in.URL.Path == "/v1/traces" && proto.Unmarshal(body, &sent) == nil {
		for _, of := range sent.ResourceSpans {
			for _, scope := range of.ScopeSpans {
				for _, span := range scope.Spans {
					r.spans[span.Name] = string(span.TraceId)
				}
			}
		}
	}
	w.WriteHeader(r.says)
}

// traced is a site whose traces go to a receiver, which is full once it is closed.
// The settings are of the process, so such tests do not run beside others.
func traced(t *testing.T, says int, settings map[string]string) (*site, *receiver, func()) {
	t.Helper()
	r := &receiver{spans: map[string]string{}, says: says}
	at := httptest.NewServer(r)
	t.Cleanup(at.Close)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", at.URL)
	for name, value := range settings {
		t.Setenv(name, value)
	}
	s := newSiteAlone(t).withExample()
	traces, err := NewTraces(context.Background(), zerolog.New(s.log))
	if err != nil {
		t.Fatal(err)
	}
	parts := s.parts
	parts.Traces = traces
	if s.server, err = New(parts); err != nil {
		t.Fatal(err)
	}
	return s, r, func() {
		if err := traces.Close(context.Background()); err != nil {
			t.Error(err)
		}
	}
}

func TestTraces(t *testing.T) {
	s, r, end := traced(t, http.StatusOK, map[string]string{"OTEL_SERVICE_NAME": "rod-of-the-test"})
	outside := header("Traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	s.get(garden+"/plan?as_of=2026-04-14", outside, header("User-Agent", "kims phone"), header("Cookie", "gaugerod-session=hunter2")).want(http.StatusOK)
	s.send("PATCH", garden+"/facts/frame", `{"done":"2026-04-10","by":"kim","note":"hunter2 was late"}`).want(http.StatusOK)
	s.get("/sign-in?secret=hunter2", signedOut).want(http.StatusForbidden)
	s.get(garden + "/facts/kim-is-no-step").want(http.StatusMethodNotAllowed)
	end()
	of := r.spans["GET /api/jobs/:job/plan"]
	if of == "" || r.spans["PATCH /api/jobs/:job/facts/:step"] == "" || r.spans["GET /sign-in"] == "" || r.spans["SELECT"] == "" || r.spans["batch"] == "" || r.spans["plan"] == "" {
		t.Fatalf("spans %q", r.spans)
	}
	if plan := r.spans["plan"]; plan != of && plan != r.spans["PATCH /api/jobs/:job/facts/:step"] {
		t.Error("the planning is not told with what set it going")
	}
	if strings.Contains(of, "\x0a\xf7\x65\x19") {
		t.Error("a stranger's word on the trace was believed")
	}
	all := string(r.bodies)
	for _, word := range []string{"hunter2", "kim", "late", "2026-04", "as_of=", "192.0.2.1", "garden-studio", s.token} {
		if strings.Contains(all, word) {
			t.Errorf("the traces tell of %q", word)
		}
	}
	for _, word := range []string{"rod-of-the-test", "FROM job", "/api/jobs/:job/plan"} {
		if !strings.Contains(all, word) {
			t.Errorf("the traces do not tell of %q", word)
		}
	}
}

// TestTracesGoOnWhatAProxyBegan: of a proxy that was named, the trace is believed.
func TestTracesGoOnWhatAProxyBegan(t *testing.T) {
	s, r, end := traced(t, http.StatusOK, nil)
	var err error
	if s.server.proxies, err = readProxies([]string{"192.0.2.0/24"}); err != nil {
		t.Fatal(err)
	}
	s.get("/healthz", header("Traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")).want(http.StatusOK)
	end()
	if got := r.spans["GET /healthz"]; !strings.HasPrefix(got, "\x0a\xf7\x65\x19") {
		t.Errorf("trace %x", got)
	}
}

// TestTracesThatCannotBeSent are told in the log and hurt nobody.
func TestTracesThatCannotBeSent(t *testing.T) {
	s, _, end := traced(t, http.StatusForbidden, nil)
	s.get(garden).want(http.StatusOK)
	end()
	if !strings.Contains(s.log.String(), "traces could not be sent") {
		t.Errorf("the log says %s", s.log)
	}
}

func TestNoTracesUnlessAskedFor(t *testing.T) {
	for name, settings := range map[string]map[string]string{
		"nothing set":  {"OTEL_EXPORTER_OTLP_ENDPOINT": ""},
		"switched off": {"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:1", "OTEL_SDK_DISABLED": "true"},
		"no exporter":  {"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:1", "OTEL_TRACES_EXPORTER": "none"},
	} {
		t.Run(name, func(t *testing.T) {
			for key, value := range settings {
				t.Setenv(key, value)
			}
			traces, err := NewTraces(context.Background(), zerolog.Nop())
			if traces != nil || err != nil {
				t.Errorf("%v, %v", traces, err)
			}
			if err := traces.Close(context.Background()); err != nil {
				t.Error(err)
			}
		})
	}
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", "http://127.0.0.1:1")
	t.Setenv("OTEL_RESOURCE_ATTRIBUTES", "not-a-pair")
	if _, err := NewTraces(context.Background(), zerolog.Nop()); err == nil {
		t.Error("settings that cannot be read went through")
	}
}
