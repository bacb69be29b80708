package web

import (
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"syscall"
	"testing"
	"time"

	"gaugerod/api/office"
	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
	"gaugerod/scheduler/randomjob"
)

// pageKind is one kind of page, and how many of sixty pages that are read are of it.
type pageKind struct {
	share int
	name  string
	paths func(*site) []string
}

var pageKinds = []pageKind{
	{20, "week", func(s *site) []string { return []string{s.job} }},
	{10, "trade", func(s *site) []string {
		return pathsOf(s.sheet().Job.Trades, func(t scheduler.Trade) string { return s.job + "/trades/" + string(t.ID) })
	}},
	{10, "step", func(s *site) []string {
		return pathsOf(s.sheet().Plan.Steps, func(t scheduler.PlannedStep) string { return s.job + "/steps/" + string(t.ID) })
	}},
	{5, "places", func(s *site) []string { return []string{s.job + "/places"} }},
	{5, "alerts", func(s *site) []string { return []string{s.job + "/alerts"} }},
	{5, "orders", func(s *site) []string { return []string{s.job + "/orders"} }},
	{5, "jobs", func(*site) []string { return []string{"/"} }},
}

func pathsOf[T any](all []T, path func(T) string) []string {
	var paths []string
	for _, t := range all {
		paths = append(paths, path(t))
	}
	return paths
}

// randomSite is the pages of a random job with every feature.
func randomSite(t testing.TB, seed uint64, steps int) *site {
	t.Helper()
	job := randomjob.New(seed, randomjob.Size{Steps: steps})
	job.ID = scheduler.ID(fmt.Sprint("house-", seed))
	text, err := jobfile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	read := func() *scheduler.Job {
		job, err := jobfile.Read("random", text)
		if err != nil {
			t.Fatal(err)
		}
		return job
	}
	m := &memory{read: read, revision: 1, head: db.JobHead{ID: job.ID, Title: job.Title, Changed: readAt}}
	s := siteOver(t, m, job.ID)
	s.memory = m
	return s
}

// randomSites is ten of them, of 30 to 250 steps.
func randomSites(t testing.TB) []*site {
	t.Helper()
	var sites []*site
	for k := range 10 {
		sites = append(sites, randomSite(t, uint64(k+1), 30+k*220/9))
	}
	return sites
}

// thrown is an answer that nobody reads.
type thrown struct{ header http.Header }

func (w *thrown) Header() http.Header         { return w.header }
func (w *thrown) Write(p []byte) (int, error) { return io.Discard.Write(p) }
func (w *thrown) WriteHeader(int)             {}

// BenchmarkPages reads pages of the demo house, which are a fifth, and of random jobs:
// each kind alone, and all in the shares in which they are read, of sheets that stay and
// of sheets that are new every fifteen reads. The plans are made before.
func BenchmarkPages(b *testing.B) {
	sites := append([]*site{newSite(b, demo)}, randomSites(b)...)
	for _, s := range sites {
		s.sheet()
	}
	var all []read
	for _, kind := range pageKinds {
		reads := readsOf(sites, kind)
		b.Run(kind.name, func(b *testing.B) { benchReads(b, reads, 0) })
		for range kind.share {
			all = append(all, reads...)
		}
	}
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(all), func(i, k int) { all[i], all[k] = all[k], all[i] })
	b.Run("mix", func(b *testing.B) { benchReads(b, all, 0) })
	b.Run("mix-of-new-sheets", func(b *testing.B) { benchReads(b, all, 15) })
}

// read is one page of a site.
type read struct {
	site *site
	path string
}

// readsOf is a hundred reads of a kind.
func readsOf(sites []*site, kind pageKind) []read {
	r := rand.New(rand.NewPCG(500, 1))
	paths := make([][]string, len(sites))
	for k, s := range sites {
		if paths[k] = kind.paths(s); len(paths[k]) == 0 {
			paths[k] = []string{s.job + "/trades"}
		}
	}
	var all []read
	for n := range 100 {
		k := 0
		if n%5 != 0 {
			k = 1 + n%(len(sites)-1)
		}
		all = append(all, read{sites[k], paths[k][r.IntN(len(paths[k]))]})
	}
	return all
}

// benchReads reads one page after the other; after so many reads of a site its sheet is
// as if it were new, 0: never. It says how many microseconds of processor
// time a page takes, which does not count what else the machine does.
func benchReads(b *testing.B, reads []read, renew int) {
	b.Helper()
	b.ReportAllocs()
	times := map[*site]int{}
	begun, pages := processor(b), 0
	for b.Loop() {
		at := reads[pages%len(reads)]
		if times[at.site]++; renew > 0 && times[at.site]%renew == 0 {
			at.site.sheet().Beside = office.Beside{}
		}
		at.site.echo.ServeHTTP(&thrown{http.Header{}}, httptest.NewRequest(http.MethodGet, at.path, nil))
		pages++
	}
	b.ReportMetric(float64((processor(b)-begun).Microseconds())/float64(pages), "cpu-µs/op")
}

// processor is the processor time that this process has used.
func processor(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
