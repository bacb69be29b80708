package planfile_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
	"gaugerod/scheduler/planner"
	"gaugerod/scheduler/randomjob"
)

type fataler interface{ Fatal(args ...any) }

// plain is a plan as encoding/json writes it.
func plain(t fataler, p *scheduler.Plan) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(p); err != nil {
		t.Fatal(err)
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// anything gives every field of a value something drawn, so that no field is forgotten.
func anything(t *rapid.T, v reflect.Value) {
	if at, ok := v.Addr().Interface().(*time.Time); ok {
		zone := time.FixedZone("", 60*rapid.IntRange(-14*60, 14*60).Draw(t, "offset"))
		*at = time.Unix(rapid.Int64Range(-1e10, 1e11).Draw(t, "second"), rapid.SampledFrom([]int64{0, 0, 5, 120e6}).Draw(t, "part")).In(zone)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for k := range v.NumField() {
			anything(t, v.Field(k))
		}
	case reflect.Slice:
		n := rapid.IntRange(-1, 2).Draw(t, "items")
		if n >= 0 {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
		}
		for k := range max(n, 0) {
			anything(t, v.Index(k))
		}
	case reflect.Pointer:
		if rapid.Bool().Draw(t, "there") {
			v.Set(reflect.New(v.Type().Elem()))
			anything(t, v.Elem())
		}
	case reflect.String:
		texts := []string{"", "pour", "<b>&", "a \"b\" \\ \n\r\t\b\f\x00\x1f\x7f", "Grüße — „so“", "\u2028\u2029", "\xff\xc3(", "𝄞\ufffd"}
		v.SetString(rapid.OneOf(rapid.SampledFrom(texts), rapid.String()).Draw(t, "text"))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, "flag"))
	case reflect.Int, reflect.Int64, reflect.Int32:
		v.SetInt(rapid.Int64Range(-5, 5).Draw(t, "number"))
	default:
		t.Fatalf("a field of kind %s", v.Kind())
	}
}

// TestAppendIsWhatEncodingJSONWrites holds the fast writer to the one that follows
// from the types, for plans with anything in any field.
func TestAppendIsWhatEncodingJSONWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var p scheduler.Plan
		anything(t, reflect.ValueOf(&p).Elem())
		want := plain(t, &p)
		if got := planfile.Append([]byte("before"), &p); string(got) != "before"+string(want) {
			t.Fatalf("got\n%s\nwant\n%s", got, want)
		}
	})
}

// TestStreamIsWhatAppendGives holds the pieces together to the whole, also of a plan
// that has many.
func TestStreamIsWhatAppendGives(t *testing.T) {
	plan, err := planner.Plan(t.Context(), randomjob.New(1, randomjob.Size{Steps: 150}), planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []*scheduler.Plan{plan, {}} {
		var b bytes.Buffer
		if err := planfile.Stream(&b, p); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(b.Bytes(), planfile.Append(nil, p)) {
			t.Error("the pieces make another text")
		}
	}
	if err := planfile.Stream(full{}, plan); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("to a writer that takes nothing: %v", err)
	}
}

// full takes nothing.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// TestNoFieldIsForgotten: each field of a plan changes what is written, if it changes
// what encoding/json writes.
func TestNoFieldIsForgotten(t *testing.T) {
	var p scheduler.Plan
	whole(reflect.ValueOf(&p).Elem())
	if got, want := planfile.Append(nil, &p), plain(t, &p); !bytes.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// whole gives each field something other than nothing.
func whole(v reflect.Value) {
	if at, ok := v.Addr().Interface().(*time.Time); ok {
		*at = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for k := range v.NumField() {
			whole(v.Field(k))
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		whole(v.Index(0))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		whole(v.Elem())
	case reflect.String:
		v.SetString("a")
	case reflect.Bool:
		v.SetBool(true)
	default:
		v.SetInt(7)
	}
}

func BenchmarkWriting(b *testing.B) {
	plan, err := planner.Plan(b.Context(), randomjob.New(1, randomjob.Size{Steps: 200}), planner.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Run("fast", func(b *testing.B) {
		var data []byte
		for b.Loop() {
			data = planfile.Append(data[:0], plan)
		}
		b.SetBytes(int64(len(data)))
	})
	b.Run("encoding-json", func(b *testing.B) {
		for b.Loop() {
			b.SetBytes(int64(len(plain(b, plan))))
		}
	})
}
