package scheduler

import "time"

// Plan is what the solver returns for one state of a job as of one day. Times are
// in the job's zone, to the minute. Floats and slack are minutes of the step's own
// working time (real minutes for elapsed steps), negative where a due day is missed.
type Plan struct {
	Job        ID        `json:"job"`
	Title      string    `json:"title"`
	Zone       string    `json:"zone"`
	Engine     int       `json:"engine"` // the generation of the solver that made it
	AsOf       time.Time `json:"as_of"`
	DayMinutes int64     `json:"day_minutes"` // working minutes in "1 day"

	Finish         time.Time `json:"finish"`          // the last planned finish
	EarliestFinish time.Time `json:"earliest_finish"` // without limits of crews, room and gear
	Bound          time.Time `json:"bound"`           // no plan that misses due days as little can finish before this
	BoundReason    string    `json:"bound_reason"`
	Proven         bool      `json:"proven"` // the finish equals the bound, and due days are missed by the least
	Aims           []Aim     `json:"aims"`   // how near it comes to each, in their order
	NearCritical   int64     `json:"near_critical"`

	Steps          []PlannedStep   `json:"steps"`
	Waits          []PlannedWait   `json:"waits"`
	Holds          []PlannedHold   `json:"holds"`
	Orders         []PlannedOrder  `json:"orders"`
	Windows        []Window        `json:"windows"`
	Dues           []PlannedDue    `json:"dues"`
	Covers         []PlannedCover  `json:"covers"`
	Driving        []ID            `json:"driving"` // from as of to the finish
	Contradictions []Contradiction `json:"contradictions"`
	Alerts         []Alert         `json:"alerts"`
}

// State is how far a step has come.
type State string

// The states of a step.
const (
	Waiting  State = "waiting"  // something before it is not done
	Ready    State = "ready"    // nothing stops it but its own turn
	Underway State = "underway" // started, not done
	Complete State = "done"     // done or released
	Refused  State = "refused"  // looked at and not released
)

// PlannedStep is one step with its dates.
type PlannedStep struct {
	ID       ID        `json:"id"`
	Kind     StepKind  `json:"kind"`
	Title    string    `json:"title"`
	Trades   []ID      `json:"trades,omitempty"`
	Places   []ID      `json:"places,omitempty"`
	Typical  ID        `json:"typical,omitempty"`
	Order    ID        `json:"order,omitempty"`
	Cautions []Caution `json:"cautions,omitempty"`
	State    State     `json:"state"`

	EarliestStart  time.Time  `json:"earliest_start"`
	EarliestFinish time.Time  `json:"earliest_finish"`
	LatestStart    time.Time  `json:"latest_start"`
	LatestFinish   time.Time  `json:"latest_finish"`
	Start          time.Time  `json:"start"`             // planned, or as recorded
	Resumes        *time.Time `json:"resumes,omitempty"` // of a started step: when its rest starts
	Finish         time.Time  `json:"finish"`
	PlanLatest     time.Time  `json:"plan_latest_finish"` // so that the due dates hold, in the order of this plan
	PlanFree       time.Time  `json:"plan_free_finish"`   // so that nobody else moves

	Work         int64 `json:"work_minutes"` // working minutes of the whole step
	Rest         int64 `json:"rest_minutes"` // what is left of it as of
	Elapsed      bool  `json:"elapsed,omitempty"`
	StartFloat   int64 `json:"start_float"`
	FinishFloat  int64 `json:"finish_float"`
	TotalFloat   int64 `json:"total_float"` // the smaller of the two
	FreeFloat    int64 `json:"free_float"`
	Slack        int64 `json:"slack"`      // total, in the plan
	FreeSlack    int64 `json:"free_slack"` // without moving anybody
	Critical     bool  `json:"critical"`
	NearCritical bool  `json:"near_critical"`
	OutOfOrder   bool  `json:"out_of_order,omitempty"`

	Drivers []Driver `json:"drivers"` // what holds the planned start where it is
	Needs   []Need   `json:"needs"`   // what must be done, released or delivered before it starts
}

// DriverKind is what kind of thing holds a step at its planned date.
type DriverKind string

// The kinds of drivers.
const (
	ByWait      DriverKind = "wait"     // an ordering between two steps
	ByLimit     DriverKind = "limit"    // a crew, a place or gear that another step has
	ByCalendar  DriverKind = "calendar" // nobody works meanwhile
	ByAsOf      DriverKind = "as of"    // nothing undone can lie before as of
	ByStart     DriverKind = "job start"
	ByPin       DriverKind = "pin"
	ByExpected  DriverKind = "expected"    // the latest word on when it comes
	ByNotice    DriverKind = "notice"      // people must be told first
	ByBooked    DriverKind = "booked"      // the visit is arranged for then
	ByFact      DriverKind = "fact"        // it was recorded so
	ByHeld      DriverKind = "held back"   // kept from coming long before it can be used
	ByVisit     DriverKind = "visit"       // it waits until its trade comes anyway
	ByBefore    DriverKind = "plan before" // the plan before had it there, and nothing is gained by moving it
	ByEachOther DriverKind = "each other"  // two steps that hold each other
)

// Driver is one thing that holds a step where it is, in words.
type Driver struct {
	Kind DriverKind `json:"kind"`
	Step ID         `json:"step,omitempty"` // the step it leads back to
	Text string     `json:"text"`
	Pos  Pos        `json:"-"`
}

// Need is something a step waits for, and whether it is there.
type Need struct {
	Step ID     `json:"step"`
	Text string `json:"text"`
	Met  bool   `json:"met"`
}

// PlannedWait is a wait with the times it joins.
type PlannedWait struct {
	From    string    `json:"from"` // "finish of pour"
	To      string    `json:"to"`
	FromID  ID        `json:"from_step"`
	ToID    ID        `json:"to_step"`
	FromEnd string    `json:"from_end"`
	ToEnd   string    `json:"to_end"`
	Least   string    `json:"least"`
	Most    string    `json:"most,omitempty"`
	Reason  Reason    `json:"reason,omitempty"`
	Note    string    `json:"note,omitempty"`
	Source  string    `json:"source,omitempty"`
	Origin  string    `json:"origin,omitempty"`
	Opens   time.Time `json:"opens"` // the planned time its from end comes to
	Waived  string    `json:"waived,omitempty"`
	Dropped bool      `json:"dropped,omitempty"` // set aside because it contradicts others
	Tight   bool      `json:"tight"`             // it holds its to end where it is planned
}

// PlannedHold is a hold or witness point with its days.
type PlannedHold struct {
	ID       ID         `json:"id"`
	Title    string     `json:"title"`
	Kind     HoldKind   `json:"kind"`
	Witness  bool       `json:"witness,omitempty"`
	By       ID         `json:"by,omitempty"`
	State    State      `json:"state"`
	Places   []ID       `json:"places,omitempty"`
	Planned  time.Time  `json:"planned"`   // when it can be released
	NeedBy   time.Time  `json:"need_by"`   // so that nobody in the plan waits
	LatestBy time.Time  `json:"latest_by"` // so that the due dates hold
	Margin   int64      `json:"margin"`    // site working minutes from Planned to NeedBy
	TellBy   *time.Time `json:"tell_by,omitempty"`
	Booked   *time.Time `json:"booked,omitempty"`
	Holds    []ID       `json:"holds_up"` // the steps that wait for it
}

// PlannedOrder is a long-lead item with its days.
type PlannedOrder struct {
	ID          ID        `json:"id"`
	Title       string    `json:"title"`
	Supplier    ID        `json:"supplier,omitempty"`
	State       State     `json:"state"` // waiting, ready, underway (placed), done (delivered)
	Planned     time.Time `json:"planned_order"`
	Delivery    time.Time `json:"planned_delivery"`
	NeedBy      time.Time `json:"need_by"`      // delivered by then, nobody in the plan waits
	LatestBy    time.Time `json:"latest_by"`    // delivered by then, the due dates hold
	OrderBy     time.Time `json:"order_by"`     // placed by then, it comes by NeedBy
	LatestOrder time.Time `json:"latest_order"` // placed by then, it comes by LatestBy
	Margin      int64     `json:"margin"`       // site working minutes from Delivery to NeedBy
	FirstUse    ID        `json:"first_use,omitempty"`
	Stages      []ID      `json:"stages"`
	StandIn     string    `json:"stand_in,omitempty"`
}

// Window is the time in which a place is a trade's: one visit.
type Window struct {
	ID           string    `json:"id"` // stable while the trade, place and steps stay
	Trade        ID        `json:"trade"`
	Place        ID        `json:"place"`
	Steps        []ID      `json:"steps"`
	Earliest     time.Time `json:"earliest"` // the earliest it can be in
	From         time.Time `json:"from"`     // planned
	Until        time.Time `json:"until"`
	OutForOthers time.Time `json:"out_for_others"` // out by then, nobody else moves
	OutForDue    time.Time `json:"out_for_due"`    // out by then, the due dates hold
	TellBy       time.Time `json:"tell_by"`        // notice given by then
	Before       []ID      `json:"before"`         // trades that are done before it in this place
	After        []ID      `json:"after"`          // trades that follow
}

// PlannedDue is a due day and what the plan makes of it.
type PlannedDue struct {
	ID      ID        `json:"id"`
	Title   string    `json:"title"`
	Step    ID        `json:"step"`
	By      time.Time `json:"by"` // the end of the due day
	Planned time.Time `json:"planned"`
	Margin  int64     `json:"margin"` // site working minutes, negative: missed
	Missed  bool      `json:"missed"`
}

// PlannedCover is a layer, when it is put there, covered and seen.
type PlannedCover struct {
	BuildUp   ID         `json:"build_up"`
	Place     ID         `json:"place"`
	Layer     ID         `json:"layer"`
	Title     string     `json:"title"`
	Step      ID         `json:"step"`
	CoveredBy ID         `json:"covered_by"`
	Laid      time.Time  `json:"laid"`             // the layer's start
	Covered   time.Time  `json:"covered"`          // the cover's finish
	Limit     *time.Time `json:"limit,omitempty"`  // covered by then
	Unseen    []ID       `json:"unseen,omitempty"` // holds not released yet
	Source    string     `json:"source,omitempty"`
}

// Contradiction is a smallest set of statements that cannot all hold: without any
// one of them the others can. An unproven one is what stands in the way in the order
// of this plan: another order of those who share something might keep all of it, or
// a smaller set contradict itself; the search for either was broken off.
type Contradiction struct {
	Statements []Statement `json:"statements"`
	Dropped    int         `json:"dropped"` // the one the plan sets aside, an index; -1: a due day that is missed
	Unproven   bool        `json:"unproven,omitempty"`
}

// Statement is something a person wrote, in words, with where.
type Statement struct {
	Text   string `json:"text"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"`
	Steps  []ID   `json:"steps,omitempty"`
}

// FindStep is the planned step of an ID, nil where there is none.
func (p *Plan) FindStep(id ID) *PlannedStep {
	for k := range p.Steps {
		if p.Steps[k].ID == id {
			return &p.Steps[k]
		}
	}
	return nil
}
