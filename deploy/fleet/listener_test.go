package fleet

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strconv"
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

// hear takes an event in: the number of a revision, or an object that has one.
func (c *client) hear(e event) error {
	if e.name != "revision" {
		return nil
	}
	revision, err := strconv.ParseInt(e.data, 10, 64)
	if err != nil {
		var told struct{ Revision int64 }
		if json.Unmarshal([]byte(e.data), &told) != nil || told.Revision == 0 {
			return fmt.Errorf("%s: an event that names no revision: %q", c.name, e.data)
		}
		revision = told.Revision
	}
	c.seen.Lock()
	defer c.seen.Unlock()
	c.seen.revision = max(c.seen.revision, revision)
	return nil
}
