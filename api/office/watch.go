package office

import (
	"context"
	"slices"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// Watch hears of new revisions and plans of one job. Who is slow hears only of the
// newest.
type Watch struct {
	// News gets something whenever there is something to take.
	News <-chan struct{}

	office   *Office
	job      scheduler.ID
	news     chan struct{}
	revision int64         // the newest told, guarded by Office.mu as all below
	plans    []db.PlanHead // of that revision, the newest take of each day that was told
	taken    int64         // the revision taken last
	fresh    []db.PlanHead // told and not taken
}

// Subscribe watches a job from now on. Stop it when done.
func (o *Office) Subscribe(id scheduler.ID) *Watch {
	news := make(chan struct{}, 1)
	w := &Watch{News: news, news: news, office: o, job: id}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.watchers[id] == nil {
		o.watchers[id] = map[*Watch]struct{}{}
	}
	o.watchers[id][w] = struct{}{}
	return w
}

// Stop ends the watching.
func (w *Watch) Stop() {
	o := w.office
	o.mu.Lock()
	defer o.mu.Unlock()
	delete(o.watchers[w.job], w)
	if len(o.watchers[w.job]) == 0 {
		delete(o.watchers, w.job)
	}
}

// Look tells the watch where the job and its plans stand in the database.
func (w *Watch) Look(ctx context.Context) error {
	_, revision, err := w.office.Job(ctx, w.job)
	if err != nil {
		return err
	}
	heads, err := w.office.store.PlanHeads(ctx, w.job, revision)
	if err != nil {
		return err
	}
	o := w.office
	o.mu.Lock()
	defer o.mu.Unlock()
	w.hear(db.Word{Job: w.job, Revision: revision, Kind: db.RevisionWord})
	for k := range heads {
		w.hear(db.Word{Job: w.job, Revision: revision, Kind: db.PlanWord, Plan: &heads[k]})
	}
	return nil
}

// Take is the newest revision, whether it has not been taken before, and the plans of
// it that have not.
func (w *Watch) Take() (revision int64, isNew bool, plans []db.PlanHead) {
	w.office.mu.Lock()
	defer w.office.mu.Unlock()
	isNew = w.revision > w.taken
	w.taken = w.revision
	plans, w.fresh = w.fresh, nil
	return w.revision, isNew, plans
}

// hear takes word of the job, unless it is older than what was heard: word comes from
// here and from the database. It is called with Office.mu held.
func (w *Watch) hear(word db.Word) {
	if word.Revision < w.revision {
		return
	}
	news := word.Revision > w.revision
	if news {
		w.revision, w.plans, w.fresh = word.Revision, nil, nil
	}
	if p := word.Plan; p != nil && putHead(&w.plans, *p) {
		putHead(&w.fresh, *p)
		news = true
	}
	if news {
		select {
		case w.news <- struct{}{}:
		default: // there is some to take already
		}
	}
}

// putHead puts a head among others unless that take of its day or a newer one is there.
func putHead(heads *[]db.PlanHead, h db.PlanHead) bool {
	k := slices.IndexFunc(*heads, func(was db.PlanHead) bool { return was.AsOf == h.AsOf })
	if k < 0 {
		*heads = append(*heads, h)
		return true
	}
	if (*heads)[k].Take >= h.Take {
		return false
	}
	(*heads)[k] = h
	return true
}

// tell passes word on to the watchers, and acts on it.
func (o *Office) tell(word db.Word) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if word.Revision > o.known[word.Job] {
		o.known[word.Job] = word.Revision
		o.overtake(word.Job, word.Revision)
	}
	if word.Plan != nil {
		of := db.PlanOf{Job: word.Job, Revision: word.Revision, AsOf: word.Plan.AsOf}
		o.forget(of, word.Plan.Take)
		if f := o.flights[of]; f != nil {
			select {
			case f.word <- struct{}{}:
			default:
			}
		}
	}
	for w := range o.watchers[word.Job] {
		w.hear(word)
	}
}

// Listen passes on the changes that other instances of the service make, until
// ctx ends. Without it only this instance's changes reach the watchers.
func (o *Office) Listen(ctx context.Context) error {
	return o.store.Listen(ctx, o.tell)
}
