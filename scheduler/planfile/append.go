package planfile

import (
	"io"
	"strconv"
	"time"
	"unicode/utf8"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// Append adds a plan to data as JSON, byte for byte as encoding/json would without
// escaping for HTML, several times as fast: plans are by far the largest answers, and
// are written after each change. A field of a plan has to be added here too; a test
// asks for it.
func Append(data []byte, p *scheduler.Plan) []byte {
	w := writer{data: data}
	w.plan(p)
	return w.data
}

// Stream writes the same piece by piece: a plan of 20,000 steps has some 40 MB.
func Stream(to io.Writer, p *scheduler.Plan) error {
	return StreamIn(make([]byte, 0, Room), to, p)
}

// StreamIn is Stream with room for a piece that can be used again; Room is enough.
func StreamIn(room []byte, to io.Writer, p *scheduler.Plan) error {
	w := writer{data: room[:0], to: to}
	w.plan(p)
	w.send(0)
	return w.err
}

// Room is how many bytes suit a piece.
const Room = 2 * piece

// piece is about how many bytes are written at once.
const piece = 64 << 10

// writer appends JSON. Each call writes one member of an object, with its name as it
// is to be written: all names here are plain.
type writer struct {
	data []byte
	to   io.Writer // what gets the data as it grows; may be nil
	err  error     // the first of to
}

// send hands on what there is when it is more than so much.
func (w *writer) send(more int) {
	if w.to == nil || len(w.data) <= more {
		return
	}
	if w.err == nil {
		_, w.err = w.to.Write(w.data)
	}
	w.data = w.data[:0]
}

func (w *writer) raw(text string) { w.data = append(w.data, text...) }

// name begins a member: a comma where one has gone before, and its name.
func (w *writer) name(name string) {
	if w.data[len(w.data)-1] != '{' {
		w.data = append(w.data, ',')
	}
	w.data = append(w.data, '"')
	w.data = append(w.data, name...)
	w.data = append(w.data, '"', ':')
}

func (w *writer) text(name, text string) {
	w.name(name)
	w.quoted(text)
}

func (w *writer) textIf(name, text string) {
	if text != "" {
		w.text(name, text)
	}
}

func (w *writer) number(name string, n int64) {
	w.name(name)
	w.data = strconv.AppendInt(w.data, n, 10)
}

func (w *writer) numberIf(name string, n int) {
	if n != 0 {
		w.number(name, int64(n))
	}
}

func (w *writer) flag(name string, is bool) {
	w.name(name)
	w.data = strconv.AppendBool(w.data, is)
}

func (w *writer) flagIf(name string, is bool) {
	if is {
		w.flag(name, is)
	}
}

func (w *writer) time(name string, t time.Time) {
	w.name(name)
	w.data = append(w.data, '"')
	w.data = t.AppendFormat(w.data, time.RFC3339Nano)
	w.data = append(w.data, '"')
}

func (w *writer) timeIf(name string, t *time.Time) {
	if t != nil {
		w.time(name, *t)
	}
}

func (w *writer) ids(name string, ids []scheduler.ID) {
	items(w, name, ids, func(w *writer, id *scheduler.ID) { w.quoted(string(*id)) })
}

func (w *writer) idsIf(name string, ids []scheduler.ID) {
	if len(ids) > 0 {
		w.ids(name, ids)
	}
}

func (w *writer) daysIf(name string, days []worktime.Date) {
	if len(days) > 0 {
		items(w, name, days, func(w *writer, d *worktime.Date) { w.quoted(d.String()) })
	}
}

// items writes a list: null where there is none, as encoding/json does.
func items[T any](w *writer, name string, list []T, item func(*writer, *T)) {
	w.name(name)
	if list == nil {
		w.raw("null")
		return
	}
	w.data = append(w.data, '[')
	for k := range list {
		if k > 0 {
			w.data = append(w.data, ',')
		}
		item(w, &list[k])
		w.send(piece)
	}
	w.data = append(w.data, ']')
}

// objects is items that are objects, of which each writes its members.
func objects[T any](w *writer, name string, list []T, members func(*writer, *T)) {
	items(w, name, list, func(w *writer, item *T) {
		w.data = append(w.data, '{')
		members(w, item)
		w.data = append(w.data, '}')
	})
}

const hex = "0123456789abcdef"

// quoted writes a string. What is no UTF-8 becomes the replacement character.
func (w *writer) quoted(text string) {
	data := w.data
	data = append(data, '"')
	begun := 0
	for k := 0; k < len(text); {
		c := text[k]
		if c < utf8.RuneSelf {
			if c >= ' ' && c != '"' && c != '\\' {
				k++
				continue
			}
			data = append(data, text[begun:k]...)
			switch c {
			case '"', '\\':
				data = append(data, '\\', c)
			case '\b':
				data = append(data, '\\', 'b')
			case '\f':
				data = append(data, '\\', 'f')
			case '\n':
				data = append(data, '\\', 'n')
			case '\r':
				data = append(data, '\\', 'r')
			case '\t':
				data = append(data, '\\', 't')
			default:
				data = append(data, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
			}
			k++
			begun = k
			continue
		}
		r, size := utf8.DecodeRuneInString(text[k:])
		switch {
		case r == utf8.RuneError && size == 1:
			data = append(data, text[begun:k]...)
			data = append(data, `\ufffd`...)
			begun = k + size
		case r == '\u2028' || r == '\u2029': // line ends to JavaScript of old
			data = append(data, text[begun:k]...)
			data = append(data, `\u202`...)
			data = append(data, hex[r&15])
			begun = k + size
		}
		k += size
	}
	data = append(data, text[begun:]...)
	data = append(data, '"')
	w.data = data
}
