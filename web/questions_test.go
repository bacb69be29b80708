package web

import (
	"net/http"
	"strings"
	"testing"
)

// question is what somebody asks every week, and where the answer stands: the links to
// follow from where they begin, by what their address begins or ends with, the place on
// the page that is reached then, and words that the answer has.
type question struct {
	asks  string
	taps  []string
	place string
	words []string
}

// The questions of owner, designer and site lead, from the page of the week on.
var askedOfTheWeek = []question{
	{"What must I decide this week, and what stops if I do not?", nil, "#decisions", []string{"decision", "Without it these wait"}},
	{"Which samples or mock-ups wait for me?", []string{"week=2026-07-20"}, "#decisions", []string{"mock-up", "Without it these wait"}},
	{"Which orders must go out in the next four weeks, and by when?", nil, "#order", []string{"to be here by", "placed as planned on"}},
	{"Which stages of orders come next, and by when?", []string{"/orders"}, ".stages", []string{"planned from"}},
	{"Which drawings does the site need next, and by when?", nil, "#drawings", []string{"no revision is out yet", "the first work by it is", "A-33"}},
	{"Which revision of a drawing counts?", []string{"/orders"}, "#drawings", []string{"revision D counts, sent out on", "Work goes on by it"}},
	{"By which drawing is this built?", []string{"/steps/"}, ".sheets", []string{"counts"}},
	{"If I change this window, what moves?", []string{"/trials"}, "main", []string{"trial"}},
	{"And what is made already?", []string{"week=2026-07-06", "/steps/opening-"}, "#made", []string{"Window drawings", "under way"}},
	{"When is the finish, and does it keep the due days?", nil, ".opening", []string{"planned to finish on", "is due by", "in hand"}},
	{"When is it finished: likely, and nine times in ten?", []string{"/odds"}, ".opening", []string{"as likely as not, and in nine of ten tries by", "was kept in"}},
	{"How likely are the due days, and what makes them unsure?", []string{"/odds"}, "main", []string{"Weathertight, by Fri 7 Aug: kept in", "of the coming and going of the finish", "usually takes"}},
	{"How sure is the finish, and what can pull it back?", nil, "#sure", []string{"It hangs on", "the finish moves with it", "in hand"}},
	{"What has moved since the plan was sent out?", []string{"/issued"}, "main", []string{"since issue A", "moves from"}},
	{"Which windows have moved since they were promised?", nil, "#promises", []string{"moved since issue A", "promised", "now"}},
	{"What will be hidden this week that has to be seen first?", nil, "#covers", []string{"overed"}},
	{"What lies on the site too early?", []string{"/alerts"}, "main", []string{"covered before release"}},
	{"Which inspections are booked and which are not?", nil, "#gates", []string{"inspection", "not booked", "Tell"}},
	{"Which layers can still be reached?", []string{"/layers"}, ".layers", []string{"being laid", "Must wait until"}},
	{"How much slack is left in this work?", []string{"/steps/"}, "#dates", []string{"lack in the plan"}},
	{"What would have to change for this to be earlier?", []string{"/steps/"}, "#earlier", []string{"days earlier"}},

	{"Who is on site each day, where, and doing what?", nil, "#days", []string{"Mon 15 Jun", "Framing gang", "Outside skin"}},
	{"Is everything ready for next week?", []string{"week=2026-06-22"}, "#ahead", []string{"once", "is released"}},
	{"What stops work, and who is to be chased?", nil, "#stops", []string{"Stops", "Why not sooner"}},
	{"What may not be covered yet?", nil, "#covers", []string{"overed"}},
	{"Which hold points fall in the next weeks, and when must I call?", nil, "#gates", []string{"by Tue 16 Jun"}},
	{"What arrives, when, where does it go, who receives it?", []string{"week=2026-07-06"}, "#arrivals", []string{"received by", "brought to", "Unloading: in the yard"}},
	{"Who can be brought forward if rain stops the roof?", nil, "#weather", []string{"needs it dry", "If it rains, this could go ahead", "ring"}},
	{"What needs dry, calm or warm days in the next six weeks?", nil, "#weeks", []string{"Needs the weather", "m/s", "°C"}},
	{"Which clocks run?", nil, "#clocks", []string{"Open since", "Cures"}},
	{"What was done out of order?", []string{"/alerts"}, "main", []string{"went on"}},
	{"Which two trades clash in one place?", []string{"/trades", "/trades-over-time"}, "main", []string{"ouble-booked"}},
	{"When may the scaffold come down, and what must be done from it first?", nil, "#occupied", []string{"Scaffold", "It may go once", "First must be done", "Why not sooner"}},
	{"What was promised last week, what was kept, why not?", nil, "#promises", []string{"promised to be done in the week before"}},
	{"Who comes in the six weeks after?", nil, "#weeks", []string{"trades come"}},
}

// The questions of a trade, on its own page.
var askedByATrade = []question{
	{"When is my window: the first day and the last?", nil, ".window .four", []string{"Not before", "Planned", "Out by"}},
	{"Why then?", nil, "#later", []string{"Why then:", "comes first"}},
	{"How sure is that date?", nil, ".window", []string{"How sure:", "must be ready first"}},
	{"How much notice will I get if it moves?", nil, ".window .four", []string{"A change is told to you by"}},
	{"Has it moved?", nil, ".window", []string{"You were promised"}},
	{"What must be ready before I come?", nil, ".window .ready", []string{"planned for"}},
	{"Who leaves the place before me?", nil, "#later", []string{"Before you in this place:"}},
	{"Who follows me?", nil, ".window", []string{"After you:"}},
	{"What must I leave open or not cover, and may I leave before it is seen?", nil, ".unseen", []string{"looked at"}},
	{"What do I bring and what is on site?", nil, "#later", []string{"Goes in here:"}},
	{"Which drawing revision counts?", nil, ".sheets", []string{"revision D counts, sent out on"}},
	{"Where do I park, store, lift, plug in?", nil, "#on-site", []string{"Parking: two vans", "Storing: under the roof", "Lifting: a forklift", "Power and water: 400 V"}},
	{"Do I come once or twice?", nil, ".opening", []string{"more visits after it"}},
	{"What is still to come of mine?", nil, "#later", []string{"Your other visits"}},
	{"How do I get it into my calendar?", nil, "#calendar", []string{"Add to my calendar"}},
}

// TestWeeklyQuestionsAreTwoTapsAway follows the links to each answer and reads it, of a
// plan that was issued and in which windows have slipped since.
func TestWeeklyQuestionsAreTwoTapsAway(t *testing.T) {
	s := slipped(t)
	for from, all := range map[string][]question{s.job: askedOfTheWeek, "/mine": askedByATrade} {
		for _, q := range all {
			if len(q.taps) > 2 {
				t.Errorf("%s takes %d taps", q.asks, len(q.taps))
			}
			path := from
			for _, tap := range q.taps {
				path = s.follow(path, tap)
			}
			w, doc := s.get(path)
			if w.Code != http.StatusOK {
				t.Errorf("%s: %s is answered with %d", q.asks, path, w.Code)
				continue
			}
			place := find(doc, q.place)
			if len(place) == 0 {
				t.Errorf("%s: %s has no %s", q.asks, path, q.place)
				continue
			}
			for _, words := range q.words {
				if says := text(place[0]); !strings.Contains(says, words) {
					t.Errorf("%s: at %s of %s nothing says %q: %.300q", q.asks, q.place, path, words, says)
				}
			}
		}
	}
}

// follow is where the first link of a page leads whose address has a part.
func (s *site) follow(path, part string) string {
	s.t.Helper()
	_, doc := s.get(path)
	for _, href := range links(s.t, path, doc) {
		page, _, _ := strings.Cut(href, "#")
		if strings.Contains(page, part) && page != path {
			return page
		}
	}
	s.t.Fatalf("%s has no link to %s", path, part)
	return ""
}
