package db_test

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"gaugerod/db"
	"gaugerod/db/dbtest"
)

// member is a file of an archive.
type member struct{ name, text string }

func unpacked(t *testing.T, archive []byte) []member {
	t.Helper()
	zipped, err := gzip.NewReader(bytes.NewReader(archive))
	if err != nil {
		t.Fatal(err)
	}
	var all []member
	for packed := tar.NewReader(zipped); ; {
		head, err := packed.Next()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(packed)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, member{head.Name, string(text)})
	}
}

func packed(t *testing.T, all []member) []byte {
	t.Helper()
	var b bytes.Buffer
	zipped := gzip.NewWriter(&b)
	tarred := tar.NewWriter(zipped)
	for _, m := range all {
		if err := tarred.WriteHeader(&tar.Header{Name: m.name, Size: int64(len(m.text)), Mode: 0o600}); err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(tarred, m.text); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(tarred.Close(), zipped.Close()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func manifestOf(t *testing.T, all []member) (m db.Manifest) {
	t.Helper()
	if err := json.Unmarshal([]byte(all[0].text), &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// remade is an archive with another manifest.
func remade(t *testing.T, all []member, do func(*db.Manifest)) []byte {
	t.Helper()
	m := manifestOf(t, all)
	do(&m)
	text, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return packed(t, append([]member{{all[0].name, string(text)}}, all[1:]...))
}

// replaced is an archive in which a word of one file is another.
func replaced(t *testing.T, all []member, name, old, with string) []byte {
	t.Helper()
	all = slices.Clone(all)
	at := slices.IndexFunc(all, func(m member) bool { return m.name == name })
	if at < 0 || !strings.Contains(all[at].text, old) {
		t.Fatalf("there is no %q in %s", old, name)
	}
	all[at].text = strings.Replace(all[at].text, old, with, 1)
	return packed(t, all)
}

func TestDamagedArchivesAreRefused(t *testing.T) {
	store := open(t)
	lived(t, store)
	whole := export(t, store)
	all := unpacked(t, whole)
	other := dbtest.Open(t, noon)

	flipped := slices.Clone(whole)
	flipped[len(flipped)*2/3] ^= 0x10
	swapped := slices.Clone(all)
	swapped[1], swapped[2] = swapped[2], swapped[1]
	for _, c := range []struct {
		name    string
		archive []byte
		is      error
		says    string
	}{
		{"nothing", nil, db.ErrDamaged, "no archive at all"},
		{"a job file", []byte("job: house\n"), db.ErrDamaged, "no archive at all"},
		{"another tar", packed(t, all[1:]), db.ErrDamaged, "does not begin with manifest.json"},
		{"another manifest", packed(t, []member{{"manifest.json", `{"name": "extension"}`}}), db.ErrDamaged, "cannot be read"},
		{"no manifest", packed(t, []member{{"manifest.json", `null`}}), db.ErrDamaged, "cannot be read"},
		{"a bit flipped", flipped, db.ErrDamaged, ""},
		{"something behind it", append(slices.Clone(whole), "more"...), db.ErrDamaged, ""},
		{"a letter of a title", replaced(t, all, "tables/job.ndjson", "Garden", "Harden"), db.ErrDamaged, "checksum"},
		{"a name the database refuses", replaced(t, all, "tables/job.ndjson", "garden-studio", "Garden Studio"), db.ErrDamaged, ""},
		{"no JSON", replaced(t, all, "tables/task.ndjson", "{", "["), db.ErrDamaged, "no JSON"},
		{"a line less", replaced(t, all, "tables/change.ndjson", "\n", ""), db.ErrDamaged, ""},
		{"the last end of line", packed(t, append(slices.Clone(all[:1]), member{all[1].name, strings.TrimSuffix(all[1].text, "\n")})), db.ErrDamaged, ""},
		{"a job file altered", replaced(t, all, "jobs/slope-house.job.yaml", "house", "horse"), db.ErrDamaged, "checksum"},
		{"files missing at the end", packed(t, all[:len(all)-1]), db.ErrDamaged, "ends before"},
		{"a file too many", packed(t, append(slices.Clone(all), member{"tables/more.ndjson", "{}\n"})), db.ErrDamaged, "more in it"},
		{"files in another order", packed(t, swapped), db.ErrDamaged, "should be"},
		{"a table less", remade(t, all, func(m *db.Manifest) { m.Files = m.Files[:3] }), db.ErrDamaged, "ends before"},
		{"an unknown table", remade(t, all, func(m *db.Manifest) { m.Files[0].Name = "tables/other.ndjson" }), db.ErrDamaged, "should be"},
		{"laid out another way", remade(t, all, func(m *db.Manifest) { m.Version++ }), db.ErrOtherSchema, "or a newer one"},
		{"a newer schema", remade(t, all, func(m *db.Manifest) { m.Migration++ }), db.ErrOtherSchema, "or a newer one"},
		{"an older schema", remade(t, all, func(m *db.Manifest) { m.Migration-- }), db.ErrOtherSchema, "then start this version"},
	} {
		_, err := other.Import(t.Context(), bytes.NewReader(c.archive))
		if !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: the error is %v, want %v … %s", c.name, err, c.is, c.says)
		}
	}
	for k := range 40 {
		if _, err := other.Import(t.Context(), bytes.NewReader(whole[:len(whole)*k/40])); !errors.Is(err, db.ErrDamaged) {
			t.Errorf("cut at %d of 40: the error is %v", k, err)
		}
	}
	if _, err := other.Import(t.Context(), bytes.NewReader(whole[:len(whole)-1])); !errors.Is(err, db.ErrDamaged) {
		t.Errorf("cut by one byte: the error is %v", err)
	}
	// None of them has left anything.
	if _, err := other.Import(t.Context(), bytes.NewReader(whole)); err != nil {
		t.Errorf("the whole one: %v", err)
	}
}
