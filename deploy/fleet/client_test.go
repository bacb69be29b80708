package fleet

import (
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// attemptLimit is how long a client waits for an answer before it asks again.
const attemptLimit = 15 * time.Second

// client is somebody with a device of their own, an address of its own, and one job.
type client struct {
	name  string
	job   string
	base  string
	token string
	http  *http.Client
	tally *tally
	seen  seen
}

func newClient(p *proxy, number int, job string, t *tally) *client {
	// Everything of 127.0.0.0/8 is this machine: each client comes from elsewhere.
	from := net.IPv4(127, 0, byte(1+number/250), byte(1+number%250))
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: from}, Timeout: 5 * time.Second}
	return &client{
		name: fmt.Sprintf("c%02d", number), job: job, base: "https://" + p.address, tally: t,
		http: &http.Client{Transport: &http.Transport{
			DialContext: dialer.DialContext, ForceAttemptHTTP2: true, TLSClientConfig: &tls.Config{RootCAs: p.trusted},
			IdleConnTimeout: 30 * time.Second,
		}},
	}
}

// at is the same client, asking somewhere else.
func (c *client) at(base string) *client {
	return &client{name: c.name, job: c.job, base: base, token: c.token, http: c.http, tally: c.tally}
}

// answer is what a request got.
type answer struct {
	status int
	header http.Header
	body   []byte
}

// once sends a request; the error says that there was no answer.
func (c *client) once(ctx context.Context, method, path string, header map[string]string, body any) (*answer, error) {
	limit := attemptLimit
	if header["Idempotency-Key"] != "" && rand.N(10) == 0 {
		// A phone in a basement: the connection is lost, and nobody knows how far it got.
		limit = rand.N(60 * time.Millisecond)
		c.tally.lost.Add(1)
	}
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	var text io.Reader
	if body != nil {
		b, err := json.Marshal(body)
		if err != nil {
			return nil, err
		}
		text = bytes.NewReader(b)
	}
	q, err := http.NewRequestWithContext(ctx, method, c.base+path, text)
	if err != nil {
		return nil, err
	}
	if body != nil {
		q.Header.Set("Content-Type", "application/json")
	}
	if c.token != "" {
		q.Header.Set("Authorization", "Bearer "+c.token)
	}
	for k, v := range header {
		q.Header.Set(k, v)
	}
	got, err := c.http.Do(q)
	if err != nil {
		return nil, err
	}
	defer got.Body.Close()
	all, err := io.ReadAll(got.Body)
	if err != nil {
		return nil, err
	}
	return &answer{got.StatusCode, got.Header, all}, nil
}

// insist sends a request again and again until it is answered with anything but
// "not now".
func (c *client) insist(ctx context.Context, method, path string, header map[string]string, body any) (*answer, error) {
	pause := 50 * time.Millisecond
	for {
		got, err := c.once(ctx, method, path, header, body)
		switch {
		case err == nil && got.status < 500:
			return got, nil
		case ctx.Err() != nil:
			return nil, fmt.Errorf("%s: %s %s: %w (%v)", c.name, method, path, ctx.Err(), err)
		}
		c.tally.retried(got, err)
		select {
		case <-ctx.Done():
		case <-time.After(pause/2 + rand.N(pause)):
		}
		pause = min(2*pause, time.Second)
	}
}

// signIn spends a secret on a session.
func (c *client) signIn(ctx context.Context, secret string) error {
	var session struct{ Token string }
	got, err := c.insist(ctx, http.MethodPost, "/api/sessions", nil, map[string]string{"secret": secret})
	if err != nil {
		return err
	}
	if err := json.Unmarshal(got.body, &session); err != nil || session.Token == "" {
		return fmt.Errorf("%s: sign in: %d %s", c.name, got.status, got.body)
	}
	c.token = session.Token
	return nil
}

// invite makes a link for one more device and gives its secret.
func (c *client) invite(ctx context.Context) (string, error) {
	var link struct{ Path string }
	got, err := c.insist(ctx, http.MethodPost, "/api/sign-in-links", nil, nil)
	if err != nil {
		return "", err
	}
	if err := json.Unmarshal(got.body, &link); err != nil {
		return "", fmt.Errorf("make a link: %d %s", got.status, got.body)
	}
	_, secret, ok := strings.Cut(link.Path, "secret=")
	if !ok {
		return "", fmt.Errorf("make a link: %d %s", got.status, got.body)
	}
	return secret, nil
}

// write is one change that was acknowledged.
type write struct {
	job, text string
	revision  int64
}

// writing writes notes, one after the other, until stop is closed; the last one is
// seen through. Every third is written with a look at what was there before.
func (c *client) writing(ctx context.Context, stop <-chan struct{}, pause time.Duration) error {
	for n := 0; ; n++ {
		select {
		case <-stop:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(rand.N(2 * pause)):
		}
		text := fmt.Sprintf("%s-%05d", c.name, n)
		begun := time.Now()
		revision, err := c.note(ctx, text, n%3 == 0)
		if err != nil {
			return err
		}
		c.tally.acknowledged(write{c.job, text, revision}, time.Since(begun))
	}
}

// note writes a note and insists until it is acknowledged.
func (c *client) note(ctx context.Context, text string, looking bool) (int64, error) {
	steps := slices.Collect(maps.Keys(noted))
	step := steps[rand.N(len(steps))]
	path := "/api/jobs/" + c.job + "/facts/" + step
	body := map[string]string{"note": text}
	if noted[step] {
		body["remaining"] = fmt.Sprint(2+rand.N(8), " days")
	}
	header := map[string]string{}
	for try := 0; ; try++ {
		// A refused request has done nothing: the next one is another.
		header["Idempotency-Key"] = fmt.Sprintf("%s/%d", text, try)
		if looking && try < 3 { // then it insists
			got, err := c.insist(ctx, http.MethodGet, "/api/jobs/"+c.job+"/facts", nil, nil)
			if err != nil {
				return 0, err
			}
			header["If-Match"] = got.header.Get("ETag")
		} else {
			delete(header, "If-Match")
		}
		got, err := c.insist(ctx, http.MethodPatch, path, header, body)
		if err != nil {
			return 0, err
		}
		if got.status == http.StatusPreconditionFailed && looking {
			c.tally.conflicts.Add(1)
			continue
		}
		var changed struct{ Revision int64 }
		if err := json.Unmarshal(got.body, &changed); err != nil || got.status != http.StatusOK || changed.Revision == 0 {
			return 0, fmt.Errorf("%s: %s: %d %s", c.name, path, got.status, got.body)
		}
		return changed.Revision, nil
	}
}

// seen is what a client has heard over its event streams.
type seen struct {
	sync.Mutex
	revision, plan int64 // the newest
	streams        int
	wrong          error
}

// newest is the revision up to which it has heard both of the revision and of a plan.
func (s *seen) newest() int64 {
	s.Lock()
	defer s.Unlock()
	return min(s.revision, s.plan)
}
