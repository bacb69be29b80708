package fill

import (
	"reflect"
	"text/template/parse"
)

// value is something that a template names: its type, and how it is found.
type value struct {
	of  reflect.Type
	get func(p *page, dot reflect.Value) reflect.Value
}

func constant(v any) value {
	c := reflect.ValueOf(v)
	return value{c.Type(), func(*page, reflect.Value) reflect.Value { return c }}
}

// plain is the value of a pipe of one command.
func (m *maker) plain(pipe *parse.PipeNode, dot reflect.Type) value {
	if len(pipe.Cmds) != 1 || len(pipe.Decl) > 0 {
		cannot("%s: more than a value", pipe)
	}
	return m.command(pipe.Cmds[0], dot)
}

func (m *maker) command(c *parse.CommandNode, dot reflect.Type) value {
	switch n := c.Args[0].(type) {
	case *parse.IdentifierNode:
		return m.function(n.Ident, c.Args[1:], dot)
	case *parse.FieldNode:
		return m.chain(itself(dot), n.Ident, c.Args[1:], dot)
	case *parse.VariableNode:
		return m.chain(m.variable(n.Ident[0]), n.Ident[1:], c.Args[1:], dot)
	default:
		if len(c.Args) > 1 {
			cannot("%s: arguments of what is no function", c)
		}
		return m.argument(n, dot)
	}
}

func (m *maker) argument(n parse.Node, dot reflect.Type) value {
	switch n := n.(type) {
	case *parse.DotNode:
		return itself(dot)
	case *parse.FieldNode:
		return m.chain(itself(dot), n.Ident, nil, dot)
	case *parse.VariableNode:
		return m.chain(m.variable(n.Ident[0]), n.Ident[1:], nil, dot)
	case *parse.PipeNode:
		return m.plain(n, dot)
	case *parse.StringNode:
		return constant(n.Text)
	case *parse.BoolNode:
		return constant(n.True)
	case *parse.NumberNode:
		if n.IsInt {
			return constant(int(n.Int64))
		}
	}
	cannot("%s: a %T as a value", n, n)
	return value{}
}

func itself(dot reflect.Type) value {
	return value{dot, func(_ *page, dot reflect.Value) reflect.Value { return dot }}
}

func (m *maker) variable(name string) value {
	for k := len(m.scope) - 1; k >= 0; k-- {
		if v := m.scope[k]; v.name == name {
			return value{v.of, func(p *page, _ reflect.Value) reflect.Value { return p.vars[v.slot] }}
		}
	}
	cannot("there is no variable %s", name)
	return value{}
}

// chain is a field of a field of a value; the last may be a method, with arguments.
func (m *maker) chain(v value, names []string, args []parse.Node, dot reflect.Type) value {
	for k, name := range names {
		if f, ok := field(v, name); ok {
			v = f
			continue
		}
		if k < len(names)-1 {
			cannot("%s has no field %s", v.of, name)
		}
		return m.method(v, name, args, dot)
	}
	if len(args) > 0 {
		cannot("arguments of %v, which is no method", names)
	}
	return v
}

func field(v value, name string) (value, bool) {
	of, pointer := v.of, v.of.Kind() == reflect.Pointer
	if pointer {
		of = of.Elem()
	}
	if of.Kind() != reflect.Struct {
		return value{}, false
	}
	f, ok := of.FieldByName(name)
	if !ok || !f.IsExported() {
		return value{}, false
	}
	get, at := v.get, f.Index
	switch {
	case len(at) > 1:
		return value{f.Type, func(p *page, dot reflect.Value) reflect.Value { return reflect.Indirect(get(p, dot)).FieldByIndex(at) }}, true
	case pointer:
		return value{f.Type, func(p *page, dot reflect.Value) reflect.Value { return get(p, dot).Elem().Field(at[0]) }}, true
	default:
		return value{f.Type, func(p *page, dot reflect.Value) reflect.Value { return get(p, dot).Field(at[0]) }}, true
	}
}

// method calls a method of a value, or of where it lies.
func (m *maker) method(v value, name string, args []parse.Node, dot reflect.Type) value {
	get := v.get
	found, ok := v.of.MethodByName(name)
	if !ok && v.of.Kind() != reflect.Pointer {
		if found, ok = reflect.PointerTo(v.of).MethodByName(name); ok {
			get = func(p *page, dot reflect.Value) reflect.Value { return v.get(p, dot).Addr() }
		}
	}
	if !ok {
		cannot("%s has no field and no method %s", v.of, name)
	}
	given := []value{{found.Type.In(0), get}}
	for _, a := range args {
		given = append(given, m.argument(a, dot))
	}
	return call(name, found.Func, given)
}

// function calls one of the functions that templates were given, or len. What says
// yes or no is in truth.
func (m *maker) function(name string, args []parse.Node, dot reflect.Type) value {
	var given []value
	if f, ok := m.funcs[name]; ok {
		for _, a := range args {
			given = append(given, m.argument(a, dot))
		}
		return call(name, reflect.ValueOf(f), given)
	}
	if name == "len" && len(args) == 1 {
		v := m.argument(args[0], dot)
		return value{reflect.TypeFor[int](), func(p *page, dot reflect.Value) reflect.Value { return reflect.ValueOf(v.get(p, dot).Len()) }}
	}
	cannot("there is no function %s", name)
	return value{}
}

func call(name string, f reflect.Value, given []value) value {
	of := f.Type()
	if of.NumIn() != len(given) || of.NumOut() != 1 || of.IsVariadic() {
		cannot("%s is a %s and gets %d values", name, of, len(given))
	}
	for k := range given {
		given[k] = fit(name, given[k], of.In(k))
	}
	return value{of.Out(0), func(p *page, dot reflect.Value) reflect.Value {
		in := make([]reflect.Value, len(given))
		for k := range given {
			in[k] = given[k].get(p, dot)
		}
		return f.Call(in)[0]
	}}
}

// fit has a value be of the type that a function takes: what a pointer leads to, or
// another type of the same kind.
func fit(name string, v value, to reflect.Type) value {
	get := v.get
	switch {
	case v.of.AssignableTo(to):
		return v
	case v.of.Kind() == reflect.Pointer && v.of.Elem().AssignableTo(to):
		return value{to, func(p *page, dot reflect.Value) reflect.Value { return get(p, dot).Elem() }}
	case v.of.Kind() == to.Kind() && v.of.ConvertibleTo(to):
		return value{to, func(p *page, dot reflect.Value) reflect.Value { return get(p, dot).Convert(to) }}
	}
	cannot("%s takes %s and gets %s", name, to, v.of)
	return value{}
}
