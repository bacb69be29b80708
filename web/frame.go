package web

// Frame is what every page shows around its content.
type Frame struct {
	Title string
	Job   *FrameJob // nil on pages that belong to no job
	Me    *Me       // nil where nobody has signed in

	Scripts []string // the files of static that this page needs beside live.js
}

// FrameJob is the job that a page belongs to.
type FrameJob struct {
	Title, Home string
	AsOf        Part
	Finish      Part
	Asked       bool // as of another day than the job's own
	Revision    int64
	Tabs        []Tab
	Said        string // what was just recorded, empty: nothing
	Moved       Line   // what that did to the finish
	Live        Live
	Later       int64       // the revision that is being planned, 0: none, this is the newest
	Printed     string      // what tells one printing from another
	Paper       *PaperLinks // the sheets of this page, nil: it has none
}

// PaperLinks is where a page is to be had as sheets of paper.
type PaperLinks struct{ A4, A3 string }

// papers are the sheets of the pages that have them.
var papers = map[string]string{"/orders": "/orders.pdf", "/layers": "/layers.pdf"}

// Live is what the script needs to know of the plan on the page, to show it anew when
// there is another one.
type Live struct {
	Events string // where to hear of it
	AsOf   string
	Take   int
}

// Tab is one page of a job in the list of pages.
type Tab struct {
	Title, Href string
	Here        bool
	Count       int // grave alerts, on the page of alerts
}

var tabs = []struct{ title, path string }{
	{"This week", ""},
	{"Places", "/places"},
	{"Alerts", "/alerts"},
	{"Orders", "/orders"},
	{"Trades", "/trades"},
	{"Issued", "/issued"},
	{"Layers", "/layers"},
	{"The job", "/edit"},
	{"Trials", "/trials"},
	{"History", "/history"},
}

// frame is the frame of one page of a job; here is its path among the tabs.
func (b *board) frame(title, here string) Frame {
	j := &FrameJob{
		Title: b.Job.Title, Home: b.link(""), AsOf: b.onDate(b.AsOf).is(asOfDay), Finish: b.finish(),
		Printed: b.sheetStanding(),
		Asked:   b.query != "", Revision: b.stands(),
		Live: Live{Events: "/api" + b.base + "/events", AsOf: b.Sheet.AsOf.String(), Take: b.Take},
	}
	if b.newest > b.Revision {
		j.Later = b.newest
	}
	if file := papers[here]; file != "" {
		j.Paper = b.paperOf(file)
	}
	for _, t := range tabs {
		tab := Tab{Title: t.title, Href: b.link(t.path), Here: t.path == here}
		if t.path == "/alerts" {
			tab.Count = b.graveAlerts()
		}
		j.Tabs = append(j.Tabs, tab)
	}
	return Frame{Title: title, Job: j}
}
