package web

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// sheetsOf is the sheets of paper of a site, by name.
func sheetsOf(s *site) map[string]string {
	return map[string]string{
		"week": s.job + "/week.pdf", "orders": s.job + "/orders.pdf", "layers": s.job + "/layers.pdf", "trade": s.job + "/trades/windows/sheet.pdf",
	}
}

// TestSheets makes each sheet in each size: PDF, the same bytes for the same plan, light
// enough for a poor connection.
func TestSheets(t *testing.T) {
	s := newSite(t, demo)
	for name, path := range sheetsOf(s) {
		for _, size := range []string{"A4", "A3"} {
			w := s.plainGet(path + "?size=" + size)
			if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" || !strings.HasPrefix(w.Body.String(), "%PDF-") {
				t.Fatalf("%s: %d %s", path, w.Code, w.Header().Get("Content-Type"))
			}
			if w.Body.Len() > maxWeight {
				t.Errorf("%s in %s weighs %d bytes", name, size, w.Body.Len())
			}
			if again := s.plainGet(path + "?size=" + size); !bytes.Equal(w.Body.Bytes(), again.Body.Bytes()) {
				t.Errorf("%s in %s is not the same twice", name, size)
			}
			if shotsDir != "" {
				keepSheet(t, name+"-"+size, w.Body.Bytes())
			}
		}
		if w := s.plainGet(path + "?size=B5"); w.Code != http.StatusBadRequest {
			t.Errorf("%s in B5: %d", name, w.Code)
		}
	}
	if w := s.plainGet(s.job + "/week.pdf?week=soon"); w.Code != http.StatusBadRequest {
		t.Errorf("the week of no day: %d", w.Code)
	}
	if w := s.plainGet(s.job + "/trades/nobody/sheet.pdf"); w.Code != http.StatusNotFound {
		t.Errorf("the sheet of no trade: %d", w.Code)
	}
}

// TestSheetsSayWhatThePagesSay reads the sheets with pdftotext, where that is.
func TestSheetsSayWhatThePagesSay(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no pdftotext here to read the sheets with (poppler-utils)")
	}
	s := newSite(t, demo)
	b := s.sheet()
	for name, wants := range map[string][]string{
		"week":   {b.Job.Title, "revision 1", "not issued", "Who comes on which day", "Sheet 1 of"},
		"orders": {b.Job.Title, b.Job.Orders[0].Title, "revision 1", "Sheet 1 of"},
		"layers": {b.Job.BuildUps[0].Layers[0].Title, "Signature", "still has to be recorded", "Sheet 1 of"},
		"trade":  {"Not before", "What must be ready", "Sheet 1 of"},
	} {
		file := filepath.Join(t.TempDir(), name+".pdf")
		if err := os.WriteFile(file, s.plainGet(sheetsOf(s)[name]).Body.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		text, err := exec.CommandContext(t.Context(), "pdftotext", "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(string(text)), " ")
		for _, want := range wants {
			if !strings.Contains(said, want) {
				t.Errorf("the sheet of %s says nothing of %q: %.600s", name, want, said)
			}
		}
	}
}

// TestASheetWithALink is made for who may make links, and offered to nobody else.
func TestASheetWithALink(t *testing.T) {
	s := newSite(t, demo)
	path := s.job + "/trades/windows/sheet.pdf"
	w := httptest.NewRecorder()
	s.echo.ServeHTTP(w, httptest.NewRequest(http.MethodPost, path, nil))
	if w.Code != http.StatusOK || w.Header().Get("Cache-Control") != "no-store" || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	if without := s.plainGet(path); without.Body.Len() >= w.Body.Len() {
		t.Error("the sheet with a code is not more than the one without")
	}
	if shotsDir != "" {
		keepSheet(t, "trade-link-A4", w.Body.Bytes())
	}
	for role, may := range map[scheduler.Role]bool{scheduler.Owner: true, scheduler.SiteLead: true, scheduler.Designer: false, scheduler.Reader: false} {
		r := httptest.NewRequest(http.MethodGet, s.job+"/trades/windows", nil)
		who := signin.Visitor{Name: "kim", Account: uuid.New(), Session: uuid.New(), Role: role}
		_, doc := s.ask(r.WithContext(signin.With(r.Context(), who)))
		if offered := len(find(doc, "#with-link form")) == 1; offered != may {
			t.Errorf("%s: the sheet with a link is offered: %v", role, offered)
		}
	}
}

func (s *site) plainGet(path string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.echo.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	return w
}

// keepSheet leaves a sheet with the pictures, and a picture of it where pdftoppm is.
func keepSheet(t *testing.T, name string, pdf []byte) {
	t.Helper()
	file := filepath.Join(shotsDir, "sheet-"+name)
	if err := os.WriteFile(file+".pdf", pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Log("no pdftoppm here to make pictures of sheets with (poppler-utils)")
		return
	}
	if err := exec.CommandContext(t.Context(), "pdftoppm", "-r", "70", "-png", file+".pdf", file).Run(); err != nil {
		t.Fatal(err)
	}
}
