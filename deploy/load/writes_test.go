package load_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	vegeta "github.com/tsenart/vegeta/v12/lib"
)

// writer changes one job after the other and asks for the plan of each new revision.
type writer struct {
	s    *service
	free chan *house // that nobody is changing

	mu     sync.Mutex
	asked  map[string]*house // by the address that the change was sent to
	fresh  []time.Duration   // from the sending of each change to having its plan
	wrongs map[string]int
	asking sync.WaitGroup
}

func newWriter(s *service, all []*house) *writer {
	w := &writer{s: s, free: make(chan *house, len(all)), asked: map[string]*house{}, wrongs: map[string]int{}}
	order := rand.New(rand.NewPCG(50, 1)).Perm(len(all))
	for _, k := range order {
		w.free <- all[k]
	}
	return w
}

// target is the next change: of the job that has been let alone for longest.
func (w *writer) target(t *vegeta.Target) error {
	h := <-w.free
	c := h.cycle[h.next%len(h.cycle)]
	h.next++
	*t = *w.s.target(c.method, c.path)
	if c.send != nil {
		body, err := json.Marshal(c.send)
		if err != nil {
			return err
		}
		t.Body = body
		t.Header.Set("Content-Type", "application/json")
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.asked[t.URL] = h
	return nil
}

// changeAll makes the first change of each job, one after the other, with nobody else
// asking: a service that has just begun reads each job and its plan once.
func (w *writer) changeAll(b *testing.B) {
	for range len(w.free) {
		h := <-w.free
		c := h.cycle[h.next%len(h.cycle)]
		h.next++
		var made int64
		w.s.ask(c.method, c.path, c.send, func(answer http.Header) { made = revisionOf(answer) })
		if _, err := w.read(h, made); err != nil {
			b.Fatal(err)
		}
		w.free <- h
	}
}

// follow takes the answer to a change and asks for the plan of its revision.
func (w *writer) follow(r *vegeta.Result) {
	w.mu.Lock()
	h := w.asked[r.URL]
	w.mu.Unlock()
	if r.Code != http.StatusOK {
		w.wrong(fmt.Errorf("%s %s: %d %s %.300s", r.Method, r.URL, r.Code, r.Error, r.Body))
		w.free <- h
		return
	}
	made := revisionOf(r.Headers)
	w.asking.Go(func() {
		defer func() { w.free <- h }()
		shown, err := w.read(h, made)
		if err != nil {
			w.wrong(err)
			return
		}
		w.mu.Lock()
		defer w.mu.Unlock()
		w.fresh = append(w.fresh, shown.Sub(r.Timestamp))
	})
}

// read has the plan of a revision or of a later one, and says when it was there.
func (w *writer) read(h *house, revision int64) (time.Time, error) {
	answer, err := w.s.client.Do(w.s.request(http.MethodGet, path(h.id, "plan"), nil))
	if err != nil {
		return time.Time{}, err
	}
	defer answer.Body.Close()
	_, err = io.Copy(io.Discard, answer.Body)
	at := time.Now()
	switch {
	case err != nil:
		return at, err
	case answer.StatusCode != http.StatusOK:
		return at, fmt.Errorf("plan of %s: %s", h.id, answer.Status)
	case revisionOf(answer.Header) < revision:
		return at, errors.New("a plan that is older than the change")
	}
	return at, nil
}

func (w *writer) wrong(err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.wrongs[err.Error()]++
}

// freshness is the quantiles of the time from a change to its plan.
func (w *writer) freshness() (quantile func(float64) time.Duration) {
	slices.Sort(w.fresh)
	return func(q float64) time.Duration {
		if len(w.fresh) == 0 {
			return 0
		}
		return w.fresh[min(int(q*float64(len(w.fresh))), len(w.fresh)-1)]
	}
}
