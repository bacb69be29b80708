package jobfile

import (
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

func scalar(tag, value string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: tag, Value: value}
}

// scalar says whether a node is a single value, and not nothing.
func (r *reader) scalar(at spot, n *yaml.Node, want string) bool {
	if n.Kind == yaml.ScalarNode && !isNothing(n) {
		return true
	}
	return r.wrongKind(at, n, want)
}

// textCodec is any text. A number or true and false must be in quotation marks, so
// that every reader of YAML takes it for text; days need none.
func textCodec[S ~string](want string) codec[S] {
	return codec[S]{
		blank: func(s S) bool { return s == "" },
		read: func(r *reader, at spot, n *yaml.Node, into *S) bool {
			if !r.scalar(at, n, want) {
				return false
			}
			if tag := n.ShortTag(); tag != "!!str" && tag != "!!timestamp" && n.Style&yaml.TaggedStyle == 0 {
				return r.fault(at, n, fmt.Sprintf("is %s, which is no text", short(n.Value)), "put it in quotation marks: "+strconv.Quote(n.Value))
			}
			*into = S(n.Value)
			return true
		},
		write: func(s S) *yaml.Node { return word(string(s)) },
	}
}

var (
	text = textCodec[string]("a text")
	name = textCodec[scheduler.ID]("a name")
)

// names is a list of names.
var names = codec[[]scheduler.ID]{
	blank: func(ids []scheduler.ID) bool { return len(ids) == 0 },
	read: func(r *reader, at spot, n *yaml.Node, into *[]scheduler.ID) bool {
		if !r.sequence(at, n) {
			return false
		}
		whole := true
		for _, item := range n.Content {
			var id scheduler.ID
			if name.read(r, at, item, &id) {
				*into = append(*into, id)
			} else {
				whole = false
			}
		}
		return whole
	},
	write: func(ids []scheduler.ID) *yaml.Node {
		l := &yaml.Node{Kind: yaml.SequenceNode}
		for _, id := range ids {
			l.Content = append(l.Content, word(string(id)))
		}
		return l
	},
}

// words is a list of names of another type.
func words[S ~string]() codec[[]S] {
	one := textCodec[S]("a word")
	return codec[[]S]{
		blank: func(all []S) bool { return len(all) == 0 },
		read: func(r *reader, at spot, n *yaml.Node, into *[]S) bool {
			var ids []scheduler.ID
			whole := names.read(r, at, n, &ids)
			for _, id := range ids {
				*into = append(*into, S(id))
			}
			return whole
		},
		write: func(all []S) *yaml.Node {
			l := &yaml.Node{Kind: yaml.SequenceNode}
			for _, s := range all {
				l.Content = append(l.Content, one.write(s))
			}
			return l
		},
	}
}

// number is a whole number, always written; count is one that is left out when it
// is what is meant without it.
var number = codec[int]{
	blank: func(int) bool { return false },
	read: func(r *reader, at spot, n *yaml.Node, into *int) bool {
		const want = "a whole number"
		if !r.scalar(at, n, want) {
			return false
		}
		v, err := strconv.Atoi(n.Value)
		if err != nil || strconv.Itoa(v) != n.Value || n.ShortTag() != "!!int" || v > 1e9 || v < -1e9 {
			return r.fault(at, n, fmt.Sprintf("is %s, which is no whole number", short(n.Value)), "write digits only, for instance 2")
		}
		*into = v
		return true
	},
	write: func(v int) *yaml.Node { return scalar("!!int", strconv.Itoa(v)) },
}

func count(without int) codec[int] {
	c := number
	c.blank = func(v int) bool { return v == without }
	return c
}

// yes is true or false.
var yes = codec[bool]{
	blank: func(v bool) bool { return !v },
	read: func(r *reader, at spot, n *yaml.Node, into *bool) bool {
		if !r.scalar(at, n, "true or false") {
			return false
		}
		if n.Value != "true" && n.Value != "false" || n.ShortTag() != "!!bool" {
			return r.fault(at, n, "is "+short(n.Value), "write true or false, without quotation marks")
		}
		*into = n.Value == "true"
		return true
	},
	write: func(v bool) *yaml.Node { return scalar("!!bool", strconv.FormatBool(v)) },
}

// parsed is a value that is written as a word of its own form. The parser's error
// says what is wrong and, after a colon, how to mend it.
func parsed[V comparable](want string, parse func(string) (V, error), write func(V) string) codec[V] {
	return codec[V]{
		blank: func(v V) bool { return v == *new(V) },
		read: func(r *reader, at spot, n *yaml.Node, into *V) bool {
			if !r.scalar(at, n, want) {
				return false
			}
			v, err := parse(n.Value)
			if err != nil {
				return r.unparsed(at, n, err)
			}
			*into = v
			return true
		},
		write: func(v V) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: write(v)} },
	}
}

// unparsed notes what a parser says of a word.
func (r *reader) unparsed(at spot, n *yaml.Node, err error) bool {
	what := strings.Replace(err.Error(), strconv.Quote(n.Value), short(n.Value), 1)
	mend := ""
	if k := strings.LastIndex(what, ": "); k >= 0 {
		what, mend = what[:k], what[k+2:]
	}
	r.add(scheduler.Fault{Pos: position(n), Field: at.field, Text: n.Value, What: at.String() + ": " + what, Mend: mend})
	return false
}

var (
	span = parsed("a length of time, for instance 3 days", worktime.ParseSpan, worktime.Span.String)
	date = parsed("a day, for instance 2026-05-18", worktime.ParseDate, worktime.Date.String)
	when = parsed("a day, for instance 2026-05-18, or one with a time, 2026-05-18 07:30", worktime.ParseWhen, worktime.When.String)
)
