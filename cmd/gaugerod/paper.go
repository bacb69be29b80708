package main

import (
	"io"
	"os"

	"gaugerod/cmd/gaugerod/terminal"
)

// paperFlags say how what is printed looks.
type paperFlags struct {
	Width   int    `placeholder:"COLUMNS" help:"Wrap to this width. Otherwise to the terminal's, or to 100."`
	Colour  string `enum:"auto,always,never" default:"auto" help:"Colour: auto (on a terminal), always or never. Nothing is told by colour alone."`
	NoColor string `env:"NO_COLOR" hidden:""`
}

// paper is w as paper of the right width, with colour only where it can be seen.
func (f paperFlags) paper(w io.Writer) *terminal.Paper {
	width, screen := terminal.PlainWidth, false
	if file, ok := w.(*os.File); ok {
		width, screen = terminal.Size(file)
	}
	if f.Width > 0 {
		width = f.Width
	}
	colour := f.Colour == "always" || (f.Colour == "auto" && screen && f.NoColor == "")
	return terminal.New(w, width, colour)
}
