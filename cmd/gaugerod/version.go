package main

import (
	"fmt"
	"runtime/debug"
)

// version is set by the linker; without it the version of the module is taken.
var version string

// programVersion is how the program names itself.
func programVersion() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(unknown)"
}

type versionCommand struct{}

func (versionCommand) Help() string {
	return example("gaugerod version")
}

func (versionCommand) Run(s streams) error {
	_, err := fmt.Fprintln(s.out, "gaugerod", programVersion())
	return err
}

// example is the end of each command's help.
func example(line string) string { return "Example:\n\n    " + line }
