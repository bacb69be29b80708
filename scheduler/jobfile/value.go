package jobfile

import (
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Value is what stands somewhere in a job file, apart from how it is written there:
// one word, a list of values, or keys with values.
type Value struct {
	Is    Shape
	Word  string  // of one word
	Loose bool    // the word is a number, true or false, if it looks like one
	List  []Value // of a list
	Keys  []Entry // of keys with values, in their order
}

// Shape is which of the three a value is.
type Shape uint8

// The shapes of values.
const (
	Word Shape = iota
	List
	Keys
)

// Entry is one key with its value.
type Entry struct {
	Key   string
	Value Value
}

// Words is a list of single words.
func Words(all ...string) Value {
	v := Value{Is: List}
	for _, w := range all {
		v.List = append(v.List, Value{Word: w})
	}
	return v
}

// Find is the value of a key.
func (v *Value) Find(key string) (Value, bool) {
	for k := range v.Keys {
		if v.Keys[k].Key == key {
			return v.Keys[k].Value, true
		}
	}
	return Value{}, false
}

// Set puts a value under a key, in the place of the one there, else at the end. Values
// that share their keys with this one stay as they are.
func (v *Value) Set(key string, to Value) {
	v.Is = Keys
	for k := range v.Keys {
		if v.Keys[k].Key == key {
			v.Keys = slices.Clone(v.Keys)
			v.Keys[k].Value = to
			return
		}
	}
	v.Keys = append(v.Keys[:len(v.Keys):len(v.Keys)], Entry{key, to})
}

// Drop takes a key away.
func (v *Value) Drop(key string) {
	var kept []Entry
	for _, e := range v.Keys {
		if e.Key != key {
			kept = append(kept, e)
		}
	}
	v.Keys = kept
}

// String is the value as a job file has it.
func (v *Value) String() string {
	n := v.node()
	if line, ok := flow(n); ok {
		return line + "\n"
	}
	var e emitter
	e.block(n, -2)
	return strings.TrimPrefix(e.out.String(), "\n")
}

// titleKeys are the keys by which people know a thing.
var titleKeys = []string{"title", "name", "why"}

// isTitle says whether people know a thing by what stands under a key.
func isTitle(key string) bool { return slices.Contains(titleKeys, key) }

// Title is what people call a thing, empty where it says nothing of that.
func (v *Value) Title() string {
	for _, key := range titleKeys {
		if w, ok := v.Find(key); ok && w.Word != "" {
			return w.Word
		}
	}
	return ""
}

// Run is a stretch of running text: a word that stands under a key, or words between,
// without a key.
type Run struct{ Key, Word string }

// Runs is running text.
type Runs []Run

// Runs is the value of a key in running text: "from 2026-07-20 to 2026-07-24 (holiday)".
func (v *Value) Runs(key string) Runs {
	var runs Runs
	switch {
	case v.Is == List:
		for k := range v.List {
			if k > 0 {
				runs = append(runs, Run{Word: " and "})
			}
			runs = append(runs, v.List[k].Runs(key)...)
		}
	case v.Is == Keys:
		return v.tell(" of ", true)
	case v.Word == "true":
		runs = append(runs, Run{Word: "yes"})
	default:
		runs = append(runs, Run{key, v.Word})
	}
	return runs
}

// Says is what a thing says besides its title, key by key.
func (v *Value) Says() Runs { return v.tell(" ", false) }

// tell puts keys with their values into running text: of stands between the two, and what
// people know a thing by follows in brackets, or is left out.
func (v *Value) tell(of string, titled bool) (runs Runs) {
	between := func(s string) {
		if len(runs) > 0 {
			runs = append(runs, Run{Word: s})
		}
	}
	from, _ := v.Find("from")
	to, _ := v.Find("to")
	oneDay := from.Word != "" && from.Word == to.Word
	for _, e := range v.Keys {
		key := strings.ReplaceAll(e.Key, "-", " ")
		switch {
		case isTitle(e.Key):
			if titled {
				between(" ")
				runs = append(runs, Run{Word: "("}, Run{e.Key, e.Value.Word}, Run{Word: ")"})
			}
		case oneDay && e.Key == "from":
			between(", ")
			runs = append(runs, Run{e.Key, e.Value.Word})
		case oneDay && e.Key == "to":
		case e.Key == "from" || e.Key == "to":
			between(map[string]string{"from": ", ", "to": " "}[e.Key])
			runs = append(append(runs, Run{Word: key + " "}), e.Value.Runs(e.Key)...)
		case titled && e.Value.Is != Word:
			between(", ")
			runs = append(runs, Run{Word: key})
		default:
			between(", ")
			runs = append(append(runs, Run{Word: key + of}), e.Value.Runs(e.Key)...)
		}
	}
	return runs
}

// InWords is running text. Called says what a word under a key is called by people: names
// of things have titles.
func (r Runs) InWords(called func(key, word string) string) string {
	var s strings.Builder
	for _, run := range r {
		if run.Key == "" {
			s.WriteString(run.Word)
		} else {
			s.WriteString(called(run.Key, run.Word))
		}
	}
	return s.String()
}

// InWords is the value of a key in running text.
func (v *Value) InWords(key string, called func(key, word string) string) string {
	return v.Runs(key).InWords(called)
}

// loose is what is written without quotation marks although it is no text.
var loose = regexp.MustCompile(`^(-?[0-9]+|true|false)$`)

func (v *Value) node() *yaml.Node {
	switch v.Is {
	case List:
		n := &yaml.Node{Kind: yaml.SequenceNode}
		for k := range v.List {
			n.Content = append(n.Content, v.List[k].node())
		}
		return n
	case Keys:
		n := &yaml.Node{Kind: yaml.MappingNode}
		for k := range v.Keys {
			n.Content = append(n.Content, word(v.Keys[k].Key), v.Keys[k].Value.node())
		}
		return n
	}
	if v.Loose && loose.MatchString(v.Word) {
		return scalar("!!int", v.Word)
	}
	return word(v.Word)
}

// valueIn is the value of a node that the writer made, or that was found tame.
func valueIn(n *yaml.Node) Value {
	switch n.Kind {
	case yaml.SequenceNode:
		v := Value{Is: List}
		for _, c := range n.Content {
			v.List = append(v.List, valueIn(c))
		}
		return v
	case yaml.MappingNode:
		v := Value{Is: Keys}
		for k := 0; k+1 < len(n.Content); k += 2 {
			v.Keys = append(v.Keys, Entry{n.Content[k].Value, valueIn(n.Content[k+1])})
		}
		return v
	}
	tag := n.ShortTag()
	return Value{Word: n.Value, Loose: tag == "!!int" || tag == "!!bool"}
}

// ParseValue reads one value as a job file may have it. The error is scheduler.Faults.
func ParseValue(text string) (Value, error) {
	r := newReader()
	root := r.parse([]byte(text))
	if root != nil {
		r.tame(root, 1)
	}
	if len(r.faults) > 0 {
		return Value{}, r.sorted("")
	}
	return valueIn(root), nil
}
