// Package completion writes the scripts by which shells complete a command line,
// from the same model that the command line is parsed by.
package completion

import (
	"bytes"
	"embed"
	"fmt"
	"slices"
	"strings"
	"text/template"

	"github.com/alecthomas/kong"
)

// Shells are those that there are scripts for.
var Shells = []string{"bash", "zsh", "fish"}

//go:embed bash.tmpl zsh.tmpl fish.tmpl
var files embed.FS

var scripts = template.Must(template.New("").Funcs(template.FuncMap{
	"join":   strings.Join,
	"bash":   quoteBash,
	"zsh":    quoteZsh,
	"fish":   quoteFish,
	"indent": func(n int) string { return strings.Repeat(" ", n) },
}).ParseFS(files, "*.tmpl"))

// program is what the scripts are written from.
type program struct {
	Name     string
	Flags    []flag
	Commands []command
}

type command struct {
	Name, Help string
	Flags      []flag
	Argument   value // of all its arguments; None where it takes none
}

// flag is an option: --name, and -s where it has a short form.
type flag struct {
	Name, Help string
	Short      string
	Value      value
}

// value is what may stand for a value: nothing, some words, a file, or anything.
type value struct {
	None  bool
	Words []string
	Files bool
	Ends  []string // endings of the files meant, without dot; none: any file
}

// Script is the completion script of a shell for a command line.
func Script(shell string, app *kong.Application) (string, error) {
	if !slices.Contains(Shells, shell) {
		return "", fmt.Errorf("there is no completion script for %q: there is one for %s", shell, strings.Join(Shells, ", "))
	}
	p := program{Name: app.Name, Flags: flags(app.Node)}
	for _, node := range app.Children {
		if node.Hidden {
			continue
		}
		c := command{Name: node.Name, Help: node.Help, Flags: append(flags(node), p.Flags...), Argument: value{None: true}}
		for _, argument := range node.Positional {
			c.Argument = valueOf(argument)
		}
		p.Commands = append(p.Commands, c)
	}
	var b bytes.Buffer
	if err := scripts.ExecuteTemplate(&b, shell+".tmpl", p); err != nil {
		return "", err
	}
	return b.String(), nil
}

func flags(node *kong.Node) (all []flag) {
	for _, f := range node.Flags {
		if f.Hidden {
			continue
		}
		one := flag{Name: f.Name, Help: f.Help, Value: valueOf(f.Value)}
		if f.Short != 0 {
			one.Short = string(f.Short)
		}
		all = append(all, one)
	}
	return all
}

// valueOf tells from the value's enumeration, and from the tag `completion`, what it
// may be: "job file", "file" or "folder".
func valueOf(v *kong.Value) value {
	switch {
	case v.IsBool():
		return value{None: true}
	case v.Enum != "":
		return value{Words: v.EnumSlice()}
	}
	switch v.Tag.Get("completion") {
	case "job file":
		return value{Files: true, Ends: []string{"yaml", "yml"}}
	case "file", "folder":
		return value{Files: true}
	}
	return value{}
}

func quoteBash(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }

// quoteZsh is for inside single quotes of a specification, in which brackets and
// colons part the pieces.
func quoteZsh(s string) string {
	return strings.NewReplacer("'", `'\''`, "[", `\[`, "]", `\]`, ":", `\:`).Replace(s)
}

func quoteFish(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s) + "'"
}
