package fill

import (
	"reflect"
	"text/template/parse"
)

// truth is the yes or no of a condition.
func (m *maker) truth(pipe *parse.PipeNode, dot reflect.Type) func(*page, reflect.Value) bool {
	if len(pipe.Cmds) != 1 || len(pipe.Decl) > 0 {
		cannot("%s: more than a condition", pipe)
	}
	c := pipe.Cmds[0]
	if n, ok := c.Args[0].(*parse.IdentifierNode); ok {
		switch args := c.Args[1:]; n.Ident {
		case "and", "or", "not":
			return m.joined(n.Ident, args, dot)
		case "eq", "ne", "lt", "le", "gt", "ge":
			return m.compared(n.Ident, args, dot)
		}
	}
	return m.holds(m.command(c, dot))
}

// truthOfArgument is truth for a part of a condition.
func (m *maker) truthOfArgument(n parse.Node, dot reflect.Type) func(*page, reflect.Value) bool {
	if pipe, ok := n.(*parse.PipeNode); ok {
		return m.truth(pipe, dot)
	}
	return m.holds(m.argument(n, dot))
}

func (m *maker) holds(v value) func(*page, reflect.Value) bool {
	is := truthOf(v.of)
	return func(p *page, dot reflect.Value) bool { return is(v.get(p, dot)) }
}

func (m *maker) joined(word string, args []parse.Node, dot reflect.Type) func(*page, reflect.Value) bool {
	var all []func(*page, reflect.Value) bool
	for _, a := range args {
		all = append(all, m.truthOfArgument(a, dot))
	}
	if word == "not" {
		if len(all) != 1 {
			cannot("not of %d", len(all))
		}
		return func(p *page, dot reflect.Value) bool { return !all[0](p, dot) }
	}
	until := word == "or" // the first that says this decides
	return func(p *page, dot reflect.Value) bool {
		for _, is := range all {
			if is(p, dot) == until {
				return until
			}
		}
		return !until
	}
}

// compared compares two strings or two whole numbers.
func (m *maker) compared(word string, args []parse.Node, dot reflect.Type) func(*page, reflect.Value) bool {
	if len(args) != 2 {
		cannot("%s of %d", word, len(args))
	}
	a, b := m.argument(args[0], dot), m.argument(args[1], dot)
	switch {
	case a.of.Kind() == reflect.String && b.of.Kind() == reflect.String && (word == "eq" || word == "ne"):
		return func(p *page, dot reflect.Value) bool {
			return (a.get(p, dot).String() == b.get(p, dot).String()) == (word == "eq")
		}
	case a.of.Kind() == reflect.Int && b.of.Kind() == reflect.Int:
		is := numbers[word]
		return func(p *page, dot reflect.Value) bool { return is(a.get(p, dot).Int(), b.get(p, dot).Int()) }
	}
	cannot("%s of %s and %s", word, a.of, b.of)
	return nil
}

var numbers = map[string]func(a, b int64) bool{
	"eq": func(a, b int64) bool { return a == b }, "ne": func(a, b int64) bool { return a != b },
	"lt": func(a, b int64) bool { return a < b }, "le": func(a, b int64) bool { return a <= b },
	"gt": func(a, b int64) bool { return a > b }, "ge": func(a, b int64) bool { return a >= b },
}

// truthOf says when a value of a type counts as there: when it is neither empty, nor
// nothing, nor zero.
func truthOf(of reflect.Type) func(reflect.Value) bool {
	switch of.Kind() {
	case reflect.Bool:
		return reflect.Value.Bool
	case reflect.String, reflect.Slice, reflect.Map:
		return func(v reflect.Value) bool { return v.Len() > 0 }
	case reflect.Pointer:
		return func(v reflect.Value) bool { return !v.IsNil() }
	case reflect.Int, reflect.Int64:
		return func(v reflect.Value) bool { return v.Int() != 0 }
	case reflect.Struct:
		return func(reflect.Value) bool { return true }
	}
	cannot("a condition of %s", of)
	return nil
}
