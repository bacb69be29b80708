package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"gaugerod/cmd/gaugerod/terminal"
)

// patience is how long something may take before a word is said about it.
const patience = time.Second

// during does something, and when that takes longer than a second says on w what is
// being done and for how long: on a terminal in one line that goes away, elsewhere
// in a line now and then.
func during(w io.Writer, what string, do func() error) error {
	return duringEvery(w, what, patience, do)
}

func duringEvery(w io.Writer, what string, wait time.Duration, do func() error) error {
	done := make(chan struct{})
	silent := make(chan struct{})
	go func() {
		defer close(silent)
		progress(w, what, wait, done)
	}()
	err := do()
	close(done)
	<-silent
	return err
}

func progress(w io.Writer, what string, wait time.Duration, done <-chan struct{}) {
	begin := time.Now()
	screen := onTerminal(w)
	tick := time.NewTicker(wait)
	defer tick.Stop()
	said := time.Duration(0)
	for {
		select {
		case <-done:
			if screen && said > 0 {
				fmt.Fprint(w, "\r\x1b[K")
			}
			return
		case <-tick.C:
			took := time.Since(begin)
			switch {
			case screen:
				fmt.Fprintf(w, "\r\x1b[K%s … %d s", what, int(took.Seconds()))
			case said == 0 || took > 3*said:
				fmt.Fprintf(w, "%s … %d s\n", what, int(took.Seconds()))
			default:
				continue
			}
			said = took
		}
	}
}

func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	_, ok = terminal.Size(f)
	return ok
}
