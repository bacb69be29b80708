package fleet

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"
)

// listening follows the events of the client's job until ctx ends: when a stream
// breaks it goes on with the next where the last one ended.
func (c *client) listening(ctx context.Context) {
	last := ""
	for ctx.Err() == nil {
		if err := c.listen(ctx, &last); err != nil {
			c.seen.Lock()
			c.seen.wrong = err
			c.seen.Unlock()
			return
		}
		select {
		case <-ctx.Done():
		case <-time.After(200 * time.Millisecond):
		}
	}
}

// listen follows one stream until it breaks. An error is something that must not be.
func (c *client) listen(ctx context.Context, last *string) error {
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, c.base+"/api/jobs/"+c.job+"/events", nil)
	if err != nil {
		return err
	}
	q.Header.Set("Authorization", "Bearer "+c.token)
	if *last != "" {
		q.Header.Set("Last-Event-ID", *last)
	}
	got, err := c.http.Do(q)
	if err != nil || got.StatusCode >= 500 {
		if err == nil {
			io.Copy(io.Discard, got.Body)
			got.Body.Close()
		}
		return nil
	}
	defer got.Body.Close()
	if got.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: the events are answered with %s", c.name, got.Status)
	}
	c.seen.Lock()
	c.seen.streams++
	c.seen.Unlock()
	event := event{}
	for lines := bufio.NewScanner(got.Body); lines.Scan(); {
		field, value, _ := strings.Cut(lines.Text(), ":")
		value = strings.TrimPrefix(value, " ")
		switch field {
		case "event":
			event.name = value
		case "id":
			*last = value
		case "data":
			event.data += value
		case "":
			if lines.Text() == "" {
				if err := c.hear(event); err != nil {
					return err
				}
				event.name, event.data = "", ""
			}
		}
	}
	return nil
}

type event struct{ name, data string }

// leap is how many revisions a client may have missed and still be told of one by one;
// of more it is told the newest alone.
const leap = 20

// hear takes an event in. However often streams break, no revision is told twice and
// none is left out.
func (c *client) hear(e event) error {
	if e.data == "" { // a comment, or when to come back
		return nil
	}
	var told struct{ Revision int64 }
	if err := json.Unmarshal([]byte(e.data), &told); err != nil || told.Revision == 0 {
		return fmt.Errorf("%s: an event that names no revision: %q", c.name, e.data)
	}
	s := &c.seen
	s.Lock()
	defer s.Unlock()
	switch next := told.Revision; e.name {
	case "revision":
		if s.revision > 0 && next != s.revision+1 && next-s.revision <= leap {
			return fmt.Errorf("%s: after revision %d of %s comes %d", c.name, s.revision, c.job, next)
		}
		s.revision = next
	case "plan":
		s.plan = max(s.plan, next)
	}
	return nil
}
