package fill

import (
	"errors"
	"fmt"
	"html/template"
	"io"
	"reflect"
	texttemplate "text/template"
	"text/template/parse"
)

// Template is one template, made for values of one type. It is safe for many
// goroutines.
type Template struct {
	steps step
	of    reflect.Type
	slots int
}

// step appends a part of the page; dot is the value that it is about.
type step func(p *page, dot reflect.Value)

// page is a page on its way.
type page struct {
	text []byte
	vars []reflect.Value
}

// New makes the named template for values of the type that sample points to. The
// functions are those that the template was parsed with.
func New(t *template.Template, name string, sample any, funcs template.FuncMap) (_ *Template, err error) {
	of := reflect.TypeOf(sample)
	if of == nil || of.Kind() != reflect.Pointer {
		return nil, fmt.Errorf("template %s: a %T is no pointer", name, sample)
	}
	// It escapes a template, and all that are part of it, when one is filled first.
	var unfilled texttemplate.ExecError
	if err := t.ExecuteTemplate(io.Discard, name, sample); err != nil && !errors.As(err, &unfilled) {
		return nil, err
	}
	m := &maker{templates: t, funcs: funcs}
	defer func() {
		if p := recover(); p != nil {
			cannot, ours := p.(cannotError)
			if !ours {
				panic(p)
			}
			err = fmt.Errorf("template %s: %w", name, cannot)
		}
	}()
	steps := m.template(name, of)
	return &Template{steps: steps, of: of, slots: m.slots}, nil
}

// Append appends the page of what value points to. An error leaves a part of it.
func (t *Template) Append(text []byte, value any) (_ []byte, err error) {
	v := reflect.ValueOf(value)
	if !v.IsValid() || v.Type() != t.of || v.IsNil() {
		return text, fmt.Errorf("a template for %s was filled with %T", t.of, value)
	}
	p := &page{text: text, vars: make([]reflect.Value, t.slots)}
	defer func() {
		if r := recover(); r != nil { // a field of nothing, as text/template finds it too
			err = fmt.Errorf("template for %s: %v", t.of, r)
		}
	}()
	t.steps(p, v)
	return p.text, nil
}

// cannotError is what a template asks for and this package cannot do.
type cannotError string

func (e cannotError) Error() string { return string(e) }

func cannot(format string, args ...any) {
	panic(cannotError(fmt.Sprintf(format, args...)))
}

// maker makes steps of a template's tree.
type maker struct {
	templates *template.Template
	funcs     template.FuncMap
	scope     []variable
	slots     int
	within    int // templates in each other
}

// variable is one of a template's: its name, its type and where its value is kept.
type variable struct {
	name string
	of   reflect.Type
	slot int
}

// deepest is how deep templates may lie in each other; one that lies in itself has no
// end.
const deepest = 20

// template is a template where it is used: its steps are made for what it is given
// there.
func (m *maker) template(name string, dot reflect.Type) step {
	t := m.templates.Lookup(name)
	if t == nil || t.Tree == nil {
		cannot("there is no template %q", name)
	}
	if m.within++; m.within > deepest {
		cannot("template %q lies too deep", name)
	}
	outer := m.scope
	m.scope = nil
	slot := m.declare("$", dot)
	body := m.list(t.Tree.Root, dot)
	m.scope = outer
	m.within--
	return func(p *page, dot reflect.Value) {
		p.vars[slot] = dot
		body(p, dot)
	}
}

// declare gives a variable a place of its own.
func (m *maker) declare(name string, of reflect.Type) int {
	m.slots++
	m.scope = append(m.scope, variable{name, of, m.slots - 1})
	return m.slots - 1
}

// list is the steps of a list; what is declared in it ends with it.
func (m *maker) list(l *parse.ListNode, dot reflect.Type) step {
	if l == nil {
		return func(*page, reflect.Value) {}
	}
	outer := len(m.scope)
	var all []step
	for _, n := range l.Nodes {
		all = append(all, m.node(n, dot))
	}
	m.scope = m.scope[:outer]
	if len(all) == 1 {
		return all[0]
	}
	return func(p *page, dot reflect.Value) {
		for _, s := range all {
			s(p, dot)
		}
	}
}

func (m *maker) node(n parse.Node, dot reflect.Type) step {
	switch n := n.(type) {
	case *parse.TextNode:
		text := string(n.Text)
		return func(p *page, _ reflect.Value) { p.text = append(p.text, text...) }
	case *parse.ActionNode:
		return m.action(n.Pipe, dot)
	case *parse.IfNode:
		return m.branch(n.Pipe, n.List, n.ElseList, dot, false)
	case *parse.WithNode:
		return m.branch(n.Pipe, n.List, n.ElseList, dot, true)
	case *parse.RangeNode:
		return m.each(n, dot)
	case *parse.TemplateNode:
		return m.inner(n, dot)
	}
	cannot("%s: a %T", n, n)
	return nil
}

// inner is a template that is used within another.
func (m *maker) inner(n *parse.TemplateNode, dot reflect.Type) step {
	if n.Pipe == nil {
		cannot("%s: a template without a value", n)
	}
	given := m.plain(n.Pipe, dot)
	body := m.template(n.Name, given.of)
	return func(p *page, dot reflect.Value) { body(p, given.get(p, dot)) }
}

// branch is an if, or a with whose value becomes dot.
func (m *maker) branch(pipe *parse.PipeNode, then, otherwise *parse.ListNode, dot reflect.Type, with bool) step {
	outer := len(m.scope)
	defer func() { m.scope = m.scope[:outer] }()
	if !with {
		is := m.truth(pipe, dot)
		yes, no := m.list(then, dot), m.list(otherwise, dot)
		return func(p *page, dot reflect.Value) {
			if is(p, dot) {
				yes(p, dot)
			} else {
				no(p, dot)
			}
		}
	}
	of := m.plain(pipe, dot)
	is := truthOf(of.of)
	yes, no := m.list(then, of.of), m.list(otherwise, dot)
	return func(p *page, dot reflect.Value) {
		if v := of.get(p, dot); is(v) {
			yes(p, v)
		} else {
			no(p, dot)
		}
	}
}

// each is a range over a slice.
func (m *maker) each(n *parse.RangeNode, dot reflect.Type) step {
	if len(n.Pipe.Cmds) != 1 || n.Pipe.IsAssign {
		cannot("%s: ranges over more than a value", n.Pipe)
	}
	over := m.command(n.Pipe.Cmds[0], dot)
	if over.of.Kind() != reflect.Slice {
		cannot("%s: ranges over %s, which is no slice", n.Pipe, over.of)
	}
	none := m.list(n.ElseList, dot)
	outer := len(m.scope)
	defer func() { m.scope = m.scope[:outer] }()
	key, value := -1, -1
	switch decl := n.Pipe.Decl; len(decl) {
	case 1:
		value = m.declare(decl[0].Ident[0], over.of.Elem())
	case 2:
		key = m.declare(decl[0].Ident[0], reflect.TypeFor[int]())
		value = m.declare(decl[1].Ident[0], over.of.Elem())
	}
	body := m.list(n.List, over.of.Elem())
	return func(p *page, dot reflect.Value) {
		all := over.get(p, dot)
		for k := range all.Len() {
			v := all.Index(k)
			if key >= 0 {
				p.vars[key] = reflect.ValueOf(k)
			}
			if value >= 0 {
				p.vars[value] = v
			}
			body(p, v)
		}
		if all.Len() == 0 {
			none(p, dot)
		}
	}
}

// action writes a value, or keeps it in a variable.
func (m *maker) action(pipe *parse.PipeNode, dot reflect.Type) step {
	if len(pipe.Decl) > 0 {
		if pipe.IsAssign {
			cannot("%s: a variable changes", pipe)
		}
		v := m.plain(&parse.PipeNode{Cmds: pipe.Cmds}, dot)
		slot := m.declare(pipe.Decl[0].Ident[0], v.of)
		return func(p *page, dot reflect.Value) { p.vars[slot] = v.get(p, dot) }
	}
	v := m.command(pipe.Cmds[0], dot)
	var ways []string
	for _, c := range pipe.Cmds[1:] {
		ways = append(ways, c.String())
	}
	write := writerOf(v.of, ways)
	return func(p *page, dot reflect.Value) { p.text = write(p.text, v.get(p, dot)) }
}
