package api

import (
	"bytes"
	"encoding/json"
	"flag"
	"net/http"
	"net/http/httptest"
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/rs/zerolog"

	"gaugerod/api/signin"
)

var update = flag.Bool("update", false, "write golden files anew")

const goldenDocument = "testdata/openapi.golden.json"

// TestDocumentIsTheAgreedOne fails when the contract drifts: look at what changed,
// bump apiVersion, and run with -update.
func TestDocumentIsTheAgreedOne(t *testing.T) {
	s, err := New(Parts{Keeper: signin.New(nil, time.Now, zerolog.Nop()), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/api/openapi.json", nil))
	var got bytes.Buffer
	if err := json.Indent(&got, w.Body.Bytes(), "", "  "); err != nil {
		t.Fatalf("%d %s: %v", w.Code, w.Body, err)
	}
	got.WriteByte('\n')
	if *update {
		if err := os.WriteFile(goldenDocument, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(goldenDocument)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), got.String()); d != "" {
		t.Errorf("the OpenAPI document has changed: bump apiVersion and renew the golden file with -update\n%s", d)
	}
}
