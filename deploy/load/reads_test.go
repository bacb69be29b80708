package load_test

import (
	"math/rand/v2"
	"net/http"

	vegeta "github.com/tsenart/vegeta/v12/lib"
)

// read is one kind of page or answer, and how many of a hundred reads are of it.
type read struct {
	percent int
	name    string
	path    func(*house, *rand.Rand) string
}

// reads is what people and their programs look at. The shares are a guess: nobody has
// counted yet.
var reads = []read{
	{20, "page: week", func(h *house, _ *rand.Rand) string { return page(h, "") }},
	{10, "page: trade", func(h *house, r *rand.Rand) string {
		if len(h.trades) == 0 {
			return page(h, "/trades")
		}
		return page(h, "/trades/"+string(h.trades[r.IntN(len(h.trades))]))
	}},
	{10, "page: step", func(h *house, r *rand.Rand) string { return page(h, "/steps/"+string(h.steps[r.IntN(len(h.steps))])) }},
	{5, "page: places", func(h *house, _ *rand.Rand) string { return page(h, "/places") }},
	{5, "page: alerts", func(h *house, _ *rand.Rand) string { return page(h, "/alerts") }},
	{5, "page: orders", func(h *house, _ *rand.Rand) string { return page(h, "/orders") }},
	{5, "page: jobs", func(*house, *rand.Rand) string { return "/" }},
	{10, "API: plan", func(h *house, _ *rand.Rand) string { return path(h.id, "plan") }},
	{10, "API: step", func(h *house, r *rand.Rand) string { return path(h.id, "steps", h.steps[r.IntN(len(h.steps))]) }},
	{10, "API: windows", func(h *house, _ *rand.Rand) string { return path(h.id, "windows") }},
	{5, "API: alerts", func(h *house, _ *rand.Rand) string { return path(h.id, "alerts") }},
	{5, "API: holds", func(h *house, _ *rand.Rand) string { return path(h.id, "holds") }},
}

func page(h *house, below string) string { return "/jobs/" + string(h.id) + below }

// demoShare is how many of a hundred reads are of the demo house; the rest is of all
// jobs alike.
const demoShare = 20

// readTargets gives one read after the other, drawn by lot.
func (s *service) readTargets(all []*house) vegeta.Targeter {
	lots := make(chan *vegeta.Target)
	done := s.b.Context().Done()
	go func() {
		r := rand.New(rand.NewPCG(500, 1))
		for {
			h := all[r.IntN(len(all))]
			if r.IntN(100) < demoShare {
				h = all[0]
			}
			at := r.IntN(100)
			for _, kind := range reads {
				if at -= kind.percent; at < 0 {
					select {
					case lots <- s.reading(kind.path(h, r)):
					case <-done:
						return
					}
					break
				}
			}
		}
	}()
	return func(t *vegeta.Target) error {
		select {
		case next := <-lots:
			*t = *next
			return nil
		case <-done:
			return vegeta.ErrNoTargets
		}
	}
}

// reading is a read of who takes the plan that is there: pages always do.
func (s *service) reading(path string) *vegeta.Target {
	t := s.target(http.MethodGet, path)
	t.Header.Set("Prefer", "wait=0")
	return t
}

func (s *service) target(method, path string) *vegeta.Target {
	return &vegeta.Target{Method: method, URL: s.base + path, Header: http.Header{"Authorization": {"Bearer " + s.token}}}
}
