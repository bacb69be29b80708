package db_test

import (
	"bytes"
	"context"
	"errors"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/db/dbtest"
	"gaugerod/scheduler"
)

const gardenStudio = "garden-studio"

func photo(name string) db.Attachment {
	return db.Attachment{Step: "frame", Name: name, Kind: "image/jpeg", By: db.Author{Name: "Kim", Account: uuid.New()}}
}

var roomy = db.Shelf{Count: 100, Bytes: 1 << 20}

func TestAttachments(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	store, conn := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	attach := func(a db.Attachment, content string) db.Attachment {
		t.Helper()
		kept, err := store.Attach(ctx, gardenStudio, a, []byte(content), roomy)
		if err != nil {
			t.Fatal(err)
		}
		return kept
	}
	sill := photo("sill.jpg")
	first := attach(sill, "one")
	if first.ID == uuid.Nil || first.Size != 3 || len(first.Sum) != 32 || first.At.IsZero() || first.By != sill.By || first.Step != "frame" {
		t.Errorf("%+v", first)
	}
	if again := attach(photo("sill.jpg"), "one"); cmp.Diff(first, again) != "" {
		t.Errorf("sent again it is another: %s", cmp.Diff(first, again))
	}
	second := attach(photo("sill.jpg"), "two")
	third := attach(db.Attachment{Step: "clad", Name: "plan.pdf", Kind: "application/pdf", By: db.Author{Name: "a command"}}, "one")
	list := func(step scheduler.ID) (ids []uuid.UUID) {
		t.Helper()
		all, err := store.Attachments(ctx, gardenStudio, step)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range all {
			ids = append(ids, a.ID)
		}
		return ids
	}
	if n := len(list("")); n != 3 {
		t.Errorf("%d attachments", n)
	}
	if ids := list("clad"); len(ids) != 1 || ids[0] != third.ID {
		t.Errorf("attached to clad: %v", ids)
	}
	got, content, err := store.Attachment(ctx, gardenStudio, second.ID)
	if err != nil || string(content) != "two" || cmp.Diff(second, got) != "" {
		t.Errorf("%+v %q %v", got, content, err)
	}
	for job, id := range map[scheduler.ID]uuid.UUID{gardenStudio: uuid.New(), "barn": second.ID} {
		if _, _, err := store.Attachment(ctx, job, id); !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("another's: %v", err)
		}
	}
	if _, err := store.Attachments(ctx, "barn", ""); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("of a job that is not there: %v", err)
	}
	if _, err := store.Attach(ctx, "barn", photo("x.jpg"), []byte("x"), roomy); !errors.Is(err, scheduler.ErrNotFound) {
		t.Errorf("to a job that is not there: %v", err)
	}

	no := errors.New("no")
	if err := store.RemoveAttachment(ctx, gardenStudio, second.ID, sill.By, func(a db.Attachment) error {
		if cmp.Diff(second, a) != "" {
			t.Errorf("asked of %+v", a)
		}
		return no
	}); !errors.Is(err, no) {
		t.Errorf("refused and yet: %v", err)
	}
	yes := func(db.Attachment) error { return nil }
	if err := store.RemoveAttachment(ctx, gardenStudio, second.ID, db.Author{Name: "Bo"}, yes); err != nil {
		t.Fatal(err)
	}
	for _, do := range []func() error{
		func() error { return store.RemoveAttachment(ctx, gardenStudio, second.ID, sill.By, yes) },
		func() error { _, _, err := store.Attachment(ctx, gardenStudio, second.ID); return err },
	} {
		if err := do(); !errors.Is(err, scheduler.ErrNotFound) {
			t.Errorf("removed and still there: %v", err)
		}
	}
	all, err := store.Attachments(ctx, gardenStudio, "frame")
	if err != nil || len(all) != 2 || all[0].ID != second.ID && all[1].ID != second.ID {
		t.Fatalf("%+v, %v", all, err)
	}
	for _, a := range all {
		if (a.ID == second.ID) != (a.RemovedAt != nil && a.RemovedBy == "Bo") {
			t.Errorf("%+v", a)
		}
	}
	var left int
	if err := conn.QueryRow(ctx, `SELECT count(*) FROM attachment WHERE content = 'two'`).Scan(&left); err != nil || left != 0 {
		t.Errorf("%d of what was removed is left, %v", left, err)
	}
	if back := attach(photo("sill.jpg"), "two"); back.ID == second.ID {
		t.Error("what was removed came back under its old name")
	}
}

// TestAttachmentsHaveLittleRoom: a job may have so many and so much, however many
// attach at once.
func TestAttachmentsHaveLittleRoom(t *testing.T) {
	t.Parallel()
	store, _ := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	attach := func(name string, content []byte, room db.Shelf) error {
		_, err := store.Attach(context.WithoutCancel(t.Context()), gardenStudio, photo(name), content, room)
		return err
	}
	var all sync.WaitGroup
	errs := make([]error, 12)
	for k := range errs {
		all.Go(func() { errs[k] = attach(string(rune('a'+k))+".jpg", []byte{byte(k)}, db.Shelf{Count: 5, Bytes: 100}) })
	}
	all.Wait()
	kept := 0
	for _, err := range errs {
		switch {
		case err == nil:
			kept++
		case !errors.Is(err, db.ErrShelfFull):
			t.Error(err)
		}
	}
	if kept != 5 {
		t.Errorf("%d of 12 were kept, want 5", kept)
	}
	if err := attach("large.jpg", bytes.Repeat([]byte("x"), 96), db.Shelf{Count: 100, Bytes: 100}); !errors.Is(err, db.ErrShelfFull) {
		t.Errorf("%v", err)
	}
	if err := attach("just.jpg", bytes.Repeat([]byte("x"), 95), db.Shelf{Count: 100, Bytes: 100}); err != nil {
		t.Errorf("%v", err)
	}
}

// TestAttachmentsAreInArchives: with what is in them, and with those removed.
func TestAttachmentsAreInArchives(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	store, _ := at(t, dbtest.Address(t))
	put(t, store, everyFeature(t))
	large := bytes.Repeat([]byte("photograph\x00\xff\n"), 800_000)
	for name, content := range map[string][]byte{"a.jpg": large, "b.jpg": []byte("gone")} {
		if _, err := store.Attach(ctx, gardenStudio, photo(name), content, db.Shelf{Count: 9, Bytes: 1 << 30}); err != nil {
			t.Fatal(err)
		}
	}
	was, err := store.Attachments(ctx, gardenStudio, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range was {
		if a.Name == "b.jpg" {
			if err := store.RemoveAttachment(ctx, gardenStudio, a.ID, a.By, func(db.Attachment) error { return nil }); err != nil {
				t.Fatal(err)
			}
		}
	}
	var archive bytes.Buffer
	if _, err := store.Export(ctx, &archive); err != nil {
		t.Fatal(err)
	}
	other, _ := at(t, dbtest.Address(t))
	if _, err := other.Import(ctx, &archive); err != nil {
		t.Fatal(err)
	}
	was, _ = store.Attachments(ctx, gardenStudio, "")
	is, err := other.Attachments(ctx, gardenStudio, "")
	if d := cmp.Diff(was, is); err != nil || d != "" || len(is) != 2 {
		t.Fatalf("%v: %s", err, d)
	}
	for _, a := range is {
		if _, content, err := other.Attachment(ctx, gardenStudio, a.ID); a.RemovedAt == nil && (err != nil || !bytes.Equal(content, large)) {
			t.Errorf("%s: %d bytes, %v", a.Name, len(content), err)
		}
	}
}
