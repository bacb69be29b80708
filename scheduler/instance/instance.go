// Package instance reads academic scheduling problems in three open text formats,
// so that the solver can be measured against published results.
package instance

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Problem is one instance: steps of fixed length with start-to-start lags and
// renewable resources. Step 0 starts everything, the last one ends it.
type Problem struct {
	Name   string
	Length []int64
	Lags   []Lag
	Size   []int64   // of each resource
	Use    [][]int64 // by resource, by step
}

// Lag says that To starts at least Least after From starts; a negative Least is a
// most time read backwards.
type Lag struct {
	From, To int
	Least    int64
}

// ErrFormat is the error of a text that is none of the formats, or breaks off.
var ErrFormat = errors.New("not an instance in a format that is known")

// Read reads an instance. The format goes by the ending of its name: .sm (sections,
// finish to start), .rcp (numbers, finish to start) or .sch (numbers and lags in
// brackets, start to start).
func Read(name string, data []byte) (*Problem, error) {
	p := &Problem{Name: base(name)}
	var err error
	switch ending := strings.ToLower(name[strings.LastIndexByte(name, '.')+1:]); ending {
	case "sm":
		err = p.readSections(data)
	case "rcp":
		err = p.readNumbers(data)
	case "sch":
		err = p.readLags(data)
	default:
		err = fmt.Errorf("%w: it ends in .%s", ErrFormat, ending)
	}
	if err == nil {
		err = p.check()
	}
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	return p, nil
}

// check refuses lengths, sizes and uses below nothing, and times and amounts so large
// that their sums could not be counted.
func (p *Problem) check() error {
	for _, list := range append([][]int64{p.Length, p.Size}, p.Use...) {
		for _, v := range list {
			if v < 0 {
				return fmt.Errorf("%w: %d is less than nothing", ErrFormat, v)
			}
			if v > largest {
				return fmt.Errorf("%w: %d is more than %d", ErrFormat, v, largest)
			}
		}
	}
	for _, l := range p.Lags {
		if l.Least > largest || l.Least < -largest {
			return fmt.Errorf("%w: %d is further than %d", ErrFormat, l.Least, largest)
		}
	}
	return nil
}

// base is a name without folders and ending.
func base(name string) string {
	name = name[strings.LastIndexByte(name, '/')+1:]
	if k := strings.LastIndexByte(name, '.'); k >= 0 {
		name = name[:k]
	}
	return name
}

// numbers reads whole numbers one after the other; brackets and tabs count as blanks.
type numbers struct {
	fields [][]byte
	err    error
}

func newNumbers(data []byte) *numbers {
	return &numbers{fields: bytes.FieldsFunc(data, func(r rune) bool { return r <= ' ' || r == '[' || r == ']' })}
}

func (n *numbers) next() int {
	if n.err != nil {
		return 0
	}
	if len(n.fields) == 0 {
		n.err = fmt.Errorf("%w: it breaks off", ErrFormat)
		return 0
	}
	v, err := strconv.Atoi(string(n.fields[0]))
	if err != nil {
		n.err = fmt.Errorf("%w: %q is not a whole number", ErrFormat, n.fields[0])
		return 0
	}
	n.fields = n.fields[1:]
	return v
}

// most is the largest count that an instance may have of anything, mostUses how many
// uses of resources there may be in all, largest the greatest time or amount.
const (
	most     = 100_000
	mostUses = 5_000_000
	largest  = 1_000_000_000
)

func (n *numbers) count() int {
	v := n.next()
	if n.err == nil && (v < 0 || v > most) {
		n.err = fmt.Errorf("%w: %d is not a number of things", ErrFormat, v)
	}
	if n.err != nil {
		return 0
	}
	return v
}

// index is a count that names one of so many things, numbered from first.
func (n *numbers) index(first, size int) int {
	v := n.next() - first
	if n.err == nil && (v < 0 || v >= size) {
		n.err = fmt.Errorf("%w: there is no step %d", ErrFormat, v+first)
	}
	if n.err != nil {
		return 0
	}
	return v
}
