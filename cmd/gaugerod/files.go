package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// maxJobFile is the largest job file that is read, in bytes.
const maxJobFile = 32 << 20

// readJob reads a job file; "-" is the standard input. The error is
// scheduler.Faults where the file itself is wrong.
func readJob(path string, in io.Reader) (*scheduler.Job, error) {
	name := path
	if path == "-" {
		name = "standard input"
	} else {
		f, err := os.Open(path)
		if err != nil {
			return nil, cannotRead(path, err)
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, maxJobFile+1))
	if err != nil {
		return nil, cannotRead(path, err)
	}
	if len(data) > maxJobFile {
		return nil, fmt.Errorf("%s is larger than %d MiB: a job file is a few hundred kilobytes", name, maxJobFile>>20)
	}
	return jobfile.Read(name, data)
}

func cannotRead(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %s", path)
	}
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		err = at.Err
	}
	return fmt.Errorf("%s cannot be read: %w", path, err)
}

// eachJob does something with the job of each file, going on after a file that is
// wrong so that all of them are told; the gravest of the outcomes is returned.
func eachJob(files []string, s streams, do func(path string, job *scheduler.Job) error) error {
	var outcome error
	for _, path := range files {
		job, err := readJob(path, s.in)
		if err == nil {
			err = do(path, job)
		}
		switch {
		case err == nil:
		case errors.Is(err, errGrave):
			if outcome == nil {
				outcome = errGrave
			}
		default:
			say(s.err, err)
			outcome = errSaid
		}
	}
	return outcome
}
