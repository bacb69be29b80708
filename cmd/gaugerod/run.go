package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/alecthomas/kong"

	"gaugerod/scheduler"
)

// The exit statuses.
const (
	statusClean = 0
	statusGrave = 1 // an alert of the gravest severity that nobody has put aside
	statusBad   = 2 // bad input, or something that could not be done
)

// errGrave ends a command that did its work and found something grave.
var errGrave = errors.New("there are grave alerts")

// errSaid ends a command whose error has been printed already.
var errSaid = errors.New("said already")

// streams is what a command reads and writes, and the clock it looks at.
type streams struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time
}

// commandLine is everything that can be written after the program's name.
type commandLine struct {
	Plan       planCommand       `cmd:"" help:"Plan jobs and print dates, what drives them, alerts, orders and windows."`
	Check      checkCommand      `cmd:"" help:"Read job files and say what is wrong with them, without planning."`
	Load       loadCommand       `cmd:"" help:"Load job files into the database."`
	Export     exportCommand     `cmd:"" help:"Print a job of the database as a job file, or list the jobs."`
	Import     importCommand     `cmd:"" help:"Put an archive of everything into a fresh database."`
	Serve      serveCommand      `cmd:"" help:"Answer over HTTP: pages and API."`
	Ready      readyCommand      `cmd:"" help:"Ask a running service whether it is ready."`
	Migrate    migrateCommand    `cmd:"" help:"Bring the schema of the database up to date."`
	Schema     schemaCommand     `cmd:"" help:"Print the JSON Schema of job files, or of plans."`
	Solve      solveCommand      `cmd:"" help:"Measure the solver on academic instances in open formats."`
	Version    versionCommand    `cmd:"" help:"Print the version."`
	Completion completionCommand `cmd:"" help:"Print the completion script of a shell."`
}

const description = `Plans one building job from a file or a database: what can go ahead, what stops the rest, ` +
	`what to order and book by which day, and when it finishes. ` +
	`Exit status: 0 clean, 1 grave alerts, 2 bad input or a failure.`

// exiting carries an exit status out of the command-line parser's help.
type exiting int

// run runs the program with the words after its name and returns its exit status.
func run(ctx context.Context, args []string, s streams) (status int) {
	defer func() {
		if e := recover(); e != nil {
			code, ok := e.(exiting)
			if !ok {
				panic(e)
			}
			status = int(code)
		}
	}()
	var line commandLine
	parser, err := newParser(&line, s)
	if err != nil {
		return say(s.err, err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	words, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(s.err, "gaugerod: %v\nTry gaugerod --help, or gaugerod COMMAND --help.\n", err)
		return statusBad
	}
	words.BindTo(ctx, (*context.Context)(nil))
	return say(s.err, words.Run(s, words.Model))
}

func newParser(line *commandLine, s streams) (*kong.Kong, error) {
	return kong.New(line,
		kong.Name("gaugerod"),
		kong.Description(description),
		kong.Writers(s.out, s.err),
		kong.Exit(func(code int) { panic(exiting(code)) }),
		kong.Vars{"data": defaultData()},
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
	)
}

// say prints what ended a command and returns the exit status that belongs to it.
func say(w io.Writer, err error) int {
	var faults scheduler.Faults
	switch {
	case err == nil:
		return statusClean
	case errors.Is(err, errGrave):
		return statusGrave
	case errors.Is(err, errSaid):
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(w, "gaugerod: broken off")
	case errors.As(err, &faults):
		fmt.Fprintln(w, faults.Error())
	default:
		fmt.Fprintf(w, "gaugerod: %v\n", err)
	}
	return statusBad
}
