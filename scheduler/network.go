package scheduler

import "gaugerod/scheduler/worktime"

// StepKind tells what a step came from.
type StepKind string

// The kinds of steps.
const (
	TaskStep  StepKind = "task"
	HoldStep  StepKind = "hold"
	StageStep StepKind = "stage"
)

// Step is one node of the network: a task, a hold point or an order's stage.
type Step struct {
	ID    ID
	Kind  StepKind
	Title string
	Work
	HoldKind  HoldKind      // holds only
	Witness   bool          // holds only
	By        ID            // holds: who releases it; stages: whose turn it is
	Notice    worktime.Span // holds: told this long before
	Nominal   *int          // measures, mm
	Tolerance int           // measures, mm
	Order     ID            // stages and deliveries: the order they belong to
	Typical   ID            // the typical it is an instance of
	Local     ID            // its name within the typical
	Note      string
	Pos       Pos
}

// Cover is one layer at one place being covered by the next.
type Cover struct {
	BuildUp   ID
	Place     ID
	Layer     ID
	LayerName string
	Step      ID   // puts the layer there
	CoveredBy ID   // covers it
	Seen      []ID // holds to be released before CoveredBy starts
	Exposed   *worktime.Span
	Source    string
	Pos       Pos
}

// Network is a job expanded: typicals repeated, build-ups and orders turned into
// steps and waits. Waits, occupations, dues and pins name steps that exist.
type Network struct {
	Job         *Job
	Steps       []Step // in the order of the file
	Waits       []Wait
	Covers      []Cover
	Occupations []Occupation
	Waived      []bool // by wait: lifted by a waiver
	index       map[ID]int
}

// NewNetwork joins the parts of a network. Steps have distinct IDs.
func NewNetwork(job *Job, steps []Step, waits []Wait) *Network {
	n := &Network{Job: job, Steps: steps, Waits: waits, index: make(map[ID]int, len(steps))}
	for k := range steps {
		n.index[steps[k].ID] = k
	}
	n.Waived = make([]bool, len(waits))
	return n
}

// Find is the position of a step in Steps.
func (n *Network) Find(id ID) (int, bool) {
	k, ok := n.index[id]
	return k, ok
}
