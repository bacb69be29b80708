package web

import (
	"net/http"
	"net/http/httptest"
	"os"
	"strings"

	"github.com/google/uuid"
	"golang.org/x/net/html"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// everyRole is who may read a job's pages. The trade is the one with the link.
var everyRole = []scheduler.Role{scheduler.Owner, scheduler.SiteLead, scheduler.Designer, scheduler.Inspector, scheduler.Reader, scheduler.TradeRole}

// allRoles says whether tests are to go through every role and way of looking: make soak.
func allRoles() bool { return os.Getenv("GAUGEROD_ROLES") == "all" }

// visitorIn is somebody in a role, as those who ask are in these tests.
func visitorIn(role scheduler.Role) signin.Visitor {
	switch role {
	case scheduler.Owner:
		return owner
	case scheduler.TradeRole:
		return signin.Visitor{} // the link of the window setters, see askedOf
	default:
		return signin.Visitor{Name: "kim", Account: uuid.New(), Session: uuid.New(), Role: role}
	}
}

// askedIn has every request be of somebody in a role.
func (s *site) askedIn(role scheduler.Role) http.Handler {
	who := visitorIn(role)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !who.Nobody() {
			r = r.WithContext(signin.With(r.Context(), who))
		}
		s.echo.ServeHTTP(w, r)
	})
}

// round is one page of each kind that somebody in a role comes to by links from their
// home, by the address as it was declared: what is added later is among them.
func (s *site) round(role scheduler.Role) map[string]string {
	s.t.Helper()
	home := "/"
	if role == scheduler.TradeRole {
		home = "/mine"
	}
	pages, seen := map[string]string{}, map[string]bool{}
	queue := []string{home}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		route := s.route(path)
		if seen[path] || pages[route] != "" {
			continue
		}
		seen[path] = true
		w := httptest.NewRecorder()
		s.askedIn(role).ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != http.StatusOK || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			continue
		}
		pages[route] = path
		doc, err := html.Parse(w.Body)
		if err != nil {
			s.t.Fatal(err)
		}
		for _, n := range find(doc, "[href]") {
			href, _, _ := strings.Cut(attr(n, "href"), "#")
			// A trade's own pages are for the link alone, and the link for nothing else.
			if strings.HasPrefix(href, "/") && (href == "/words" || strings.HasPrefix(href, "/mine") == (role == scheduler.TradeRole)) {
				queue = append(queue, href)
			}
		}
	}
	return pages
}

// route is the address of a path as it was declared.
func (s *site) route(path string) string {
	path, _, _ = strings.Cut(path, "?")
	c := s.echo.NewContext(httptest.NewRequest(http.MethodGet, path, nil), httptest.NewRecorder())
	s.echo.Router().Find(http.MethodGet, path, c)
	return c.Path()
}
