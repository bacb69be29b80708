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
	Spread    Spread        // tasks and stages
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
	Ends        []Ends // by wait
	Covers      []Cover
	Occupations []Occupation
	Waived      []bool // by wait: lifted by a waiver
	index       map[ID]int
}

// Ends is the positions in Steps of the two steps that a wait joins.
type Ends struct{ From, To int32 }

// NewNetwork joins the parts of a network. Steps have distinct IDs.
func NewNetwork(job *Job, steps []Step, waits []Wait) *Network {
	n := &Network{Job: job, Steps: steps, index: make(map[ID]int, len(steps))}
	for k := range steps {
		n.index[steps[k].ID] = k
	}
	n.Waits, n.Ends, n.Waived = waits, make([]Ends, len(waits)), make([]bool, len(waits))
	for k := range waits {
		n.Ends[k] = n.EndsOf(&waits[k])
	}
	return n
}

// EndsOf is the ends of a wait between steps that exist.
func (n *Network) EndsOf(w *Wait) Ends {
	return Ends{From: int32(n.index[w.From.Step]), To: int32(n.index[w.To.Step])}
}

// Find is the position of a step in Steps.
func (n *Network) Find(id ID) (int, bool) {
	k, ok := n.index[id]
	return k, ok
}
