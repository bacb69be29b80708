// Command gaugerod plans one building job: from a file on the command line, or as a
// service with a database.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends it at once
	status := run(ctx, os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr, now: time.Now})
	stop()
	os.Exit(status)
}
