package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// TestPagesOfferOnlyWhatTheReaderMayDo: the same pages, read by each role.
func TestPagesOfferOnlyWhatTheReaderMayDo(t *testing.T) {
	s := newStoredSite(t, garden)
	f := s.hiddenFields(s.job+step, step+"/book")
	f.Set("day", "2026-04-20")
	if w, _ := s.post(s.job+step+"/book", f); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	_, doc := s.get(s.job + "/alerts")
	chosen := find(doc, ".alert a.choose")
	if len(chosen) == 0 {
		t.Fatal("no alert can be set aside")
	}
	alert := strings.TrimPrefix(strings.TrimSuffix(attr(chosen[0], "href"), "#chosen"), s.job)
	forms := []struct{ page, action string }{
		{"", "/as-of"},
		{alert, "/alerts/aside"},
		{"/history", "/undo"},
		{step, step + "/release"},
		{step, step + "/book"},
		{step, step + "/take-back"},
		{"/steps/frame", "/steps/frame/progress"},
		{"/steps/windows.delivery", "/steps/windows.delivery/expect"},
		{"/issued", "/issued"},
	}
	for role, may := range map[scheduler.Role][]bool{
		scheduler.Owner:    {true, true, true, true, true, true, true, true, true},
		scheduler.SiteLead: {false, true, false, true, true, true, true, true, false},
		scheduler.Designer: {false, false, false, true, true, false, false, false, false},
		scheduler.Reader:   {false, false, false, false, false, false, false, false, false},
	} {
		for k, c := range forms {
			r := httptest.NewRequest(http.MethodGet, s.job+c.page, nil)
			who := signin.Visitor{Name: "kim", Account: uuid.New(), Session: uuid.New(), Role: role}
			w, _ := s.ask(r.WithContext(signin.With(r.Context(), who)))
			if w.Code != http.StatusOK {
				t.Fatalf("%s: %s: %d", role, c.page, w.Code)
			}
			offered := strings.Contains(w.Body.String(), `action="`+s.job+c.action+`"`) && (c.action != "/undo" || strings.Contains(w.Body.String(), "<button>Undo revision"))
			if offered != may[k] {
				t.Errorf("%s: %q offers %s: %v", role, c.page, c.action, offered)
			}
		}
	}
}
