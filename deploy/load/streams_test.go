package load_test

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// The streams: everybody on a busy job has it open in several places. As many as a session
// may have are of one, and no more sessions are opened than one address may open at once.
const (
	watchers    = 200
	ofSession   = 12
	changesEach = 5 // a second
	streamsFor  = 20 * time.Second
	wantedWord  = time.Second
)

// BenchmarkStreams changes the demo house while many watch it, and asks how long each of them
// waits for word of the change, and of its plan.
func BenchmarkStreams(b *testing.B) {
	s := serve(b, dataFolder(b))
	id, file := demo(b)
	s.ask(http.MethodPut, path(id, "file"), file, nil)
	s.ask(http.MethodGet, path(id, "plan"), nil, nil)
	for b.Loop() {
		w := s.watchers(path(id, "events"))
		begun := time.Now()
		program0, postgres0, tool0 := s.processor()
		answered := map[int64]time.Time{}
		for k, tick := 0, time.NewTicker(time.Second/changesEach); time.Since(begun) < streamsFor; k++ {
			<-tick.C
			s.ask(http.MethodPut, path(id, "trades", "framing", "crews"), map[string]any{"crews": 3 - k%2},
				func(h http.Header) { answered[revisionOf(h)] = time.Now() })
		}
		time.Sleep(2 * wantedWord)
		w.end()
		seconds := time.Since(begun).Seconds()
		program1, postgres1, tool1 := s.processor()
		words, plans := w.since(answered)
		say("%d streams of one job, %d changes of it in %v", watchers, len(answered), streamsFor)
		told := func(what string, waits []time.Duration, of int) {
			slices.Sort(waits)
			at := func(q float64) time.Duration { return waits[min(int(q*float64(len(waits))), len(waits)-1)] }
			say("%-22s %d of %d told; half within %s, 99 %% within %s, last within %s (wanted: all within %s)", what, len(waits), of,
				ms(at(0.5)), ms(at(0.99)), ms(at(1)), ms(wantedWord))
		}
		told("word of a revision", words, len(answered)*watchers)
		told("word of its plan", plans, len(answered)*watchers)
		say("processors taken: program %.2f, Postgres %.2f, load tool %.2f; most memory of the program %.0f MiB",
			(program1-program0)/seconds, (postgres1-postgres0)/seconds, (tool1-tool0)/seconds, s.most())
		b.ReportMetric(float64(slices.Max(words))/float64(wantedWord), "slowest-word/goal")
		b.ReportMetric(float64(len(answered)*watchers-len(words)), "untold")
	}
}

// heard is one event of one stream.
type heard struct {
	stream   int
	name     string
	revision int64
	at       time.Time
}

// audience is who watches, and what each has heard.
type audience struct {
	mu    sync.Mutex
	all   []heard
	close context.CancelFunc
	done  sync.WaitGroup
}

// watchers opens the streams and waits until each has heard how the job stands.
func (s *service) watchers(address string) *audience {
	s.b.Helper()
	ctx, cancel := context.WithCancel(s.b.Context())
	a := &audience{close: cancel}
	s.b.Cleanup(a.end)
	var ready sync.WaitGroup
	ready.Add(watchers)
	token := ""
	for k := range watchers {
		if k%ofSession == 0 {
			token = s.another()
		}
		r := s.request(http.MethodGet, address, nil).WithContext(ctx)
		r.Header.Set("Authorization", "Bearer "+token)
		answer, err := (&http.Client{Transport: s.client.Transport}).Do(r)
		if err != nil {
			s.b.Fatal(err)
		}
		if answer.StatusCode != http.StatusOK {
			s.b.Fatalf("stream %d: %s", k, answer.Status)
		}
		a.done.Go(func() {
			defer answer.Body.Close()
			a.listen(k, bufio.NewScanner(answer.Body), sync.OnceFunc(ready.Done))
		})
	}
	ready.Wait()
	return a
}

// another signs in on one more device, and gives its token.
func (s *service) another() string {
	s.b.Helper()
	var link struct{ Path string }
	if err := json.Unmarshal(s.ask(http.MethodPost, "/api/sign-in-links", nil, nil), &link); err != nil {
		s.b.Fatal(err)
	}
	_, secret, _ := strings.Cut(link.Path, "secret=")
	return s.opened(secret)
}

// listen hears one stream to its end.
func (a *audience) listen(stream int, lines *bufio.Scanner, ready func()) {
	h := heard{stream: stream}
	for lines.Scan() {
		field, value, _ := strings.Cut(lines.Text(), ": ")
		switch field {
		case "event":
			h.name = value
		case "id":
			h.revision, _ = strconv.ParseInt(value, 10, 64)
		case "data":
			ready()
			h.at = time.Now()
			a.mu.Lock()
			a.all = append(a.all, h)
			a.mu.Unlock()
		}
	}
}

func (a *audience) end() {
	a.close()
	a.done.Wait()
}

// since is how long after each answer every stream had word of the revision, or of a later
// one, and of a plan of it, or of a later one.
func (a *audience) since(answered map[int64]time.Time) (words, plans []time.Duration) {
	streams := map[int][]heard{}
	for _, h := range a.all {
		streams[h.stream] = append(streams[h.stream], h)
	}
	for _, events := range streams {
		for revision, at := range answered {
			for of, waits := range map[string]*[]time.Duration{"revision": &words, "plan": &plans} {
				k := slices.IndexFunc(events, func(h heard) bool { return h.name == of && h.revision >= revision })
				if k >= 0 {
					*waits = append(*waits, max(0, events[k].at.Sub(at)))
				}
			}
		}
	}
	return words, plans
}
