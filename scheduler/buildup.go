package scheduler

import "gaugerod/scheduler/worktime"

// BuildUp is the layers of an assembly, in the order in which they are put
// there: each layer covers the one before it.
type BuildUp struct {
	ID      ID
	Title   string
	Places  []ID
	Outward string // what the layers run from and to: "inside to outside", "bottom to top", …
	Layers  []Layer
	Pos     Pos
}

// Layer is one layer of a build-up, put there by one step. From the layers come
// a wait (the next layer's step starts after this one's finish), cover checks (the
// holds in Seen are released before the next layer starts) and, where Exposed is
// given, an exposure limit: from the start of this layer's step to the finish of
// the next layer's.
type Layer struct {
	ID        ID
	Title     string
	Material  string
	Thickness int           // mm, 0: not given
	By        ID            // a task, "typical.local" or "place.local"
	Cure      worktime.Span // least time before the next layer starts
	Seen      []ID          // holds to be released before it is covered
	Exposed   *worktime.Span
	Source    string // where the limit or the cure comes from
	Pos       Pos
}
