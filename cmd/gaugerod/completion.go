package main

import (
	"io"

	"github.com/alecthomas/kong"

	"gaugerod/cmd/gaugerod/completion"
)

type completionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"The shell: ${enum}."`
}

func (completionCommand) Help() string {
	return "Put the script where your shell looks for completions, or source it when the shell starts.\n\n" +
		example("gaugerod completion bash > ~/.local/share/bash-completion/completions/gaugerod")
}

func (c completionCommand) Run(s streams, app *kong.Application) error {
	script, err := completion.Script(c.Shell, app)
	if err != nil {
		return err
	}
	_, err = io.WriteString(s.out, script)
	return err
}
