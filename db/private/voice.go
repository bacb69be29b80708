package private

import (
	"bytes"
	"strings"

	"github.com/rs/zerolog"
)

// voice hands what Postgres says on to the log, line by line, and keeps the last
// line that says why it cannot go on.
type voice struct {
	log   zerolog.Logger
	rest  []byte // a line that has not ended yet
	worst string
}

func (v *voice) Write(p []byte) (int, error) {
	v.rest = append(v.rest, p...)
	for {
		line, rest, ended := bytes.Cut(v.rest, []byte("\n"))
		if !ended {
			return len(p), nil
		}
		v.say(string(line))
		v.rest = rest
	}
}

func (v *voice) say(line string) {
	level := zerolog.DebugLevel
	switch {
	case strings.Contains(line, "system is starting up"), strings.Contains(line, "not yet accepting connections"),
		strings.Contains(line, "system is shutting down"), strings.Contains(line, "due to administrator command"):
		// The answer to whoever asks too early or too late: nothing is wrong.
	case strings.HasPrefix(line, "PANIC:"), strings.HasPrefix(line, "FATAL:"):
		level = zerolog.WarnLevel
		v.worst = line
	case strings.HasPrefix(line, "WARNING:"):
		level = zerolog.WarnLevel
	}
	v.log.WithLevel(level).Str("from", "postgres").Msg(line)
}
