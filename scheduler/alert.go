package scheduler

import "gaugerod/scheduler/worktime"

// AlertKind is what an alert is about.
type AlertKind string

// The kinds of alerts.
const (
	Loop                AlertKind = "loop" // statements that contradict each other
	LateOrder           AlertKind = "late order"
	LateHold            AlertKind = "late hold point"
	EarlyDelivery       AlertKind = "early delivery"
	CoveredUnseen       AlertKind = "covered before release"
	OutOfOrder          AlertKind = "out of order"
	OpenTooLong         AlertKind = "open too long"
	TooSoon             AlertKind = "too soon"
	TradeInTwoPlaces    AlertKind = "trade in two places"
	PlaceCrowded        AlertKind = "place crowded"
	DueMissed           AlertKind = "due day missed"
	ShortNotice         AlertKind = "short notice"
	InspectionNotBooked AlertKind = "inspection not booked"
	LooseEnd            AlertKind = "loose end"
	ExtraVisit          AlertKind = "extra visit"
	MeasureOff          AlertKind = "measure out of tolerance"
	PromiseBroken       AlertKind = "promise broken" // an agreed window has moved
	CannotCome          AlertKind = "cannot come"
	DrawingMissing      AlertKind = "drawing missing" // work is to be done by one of which no revision is out
)

// Severity is how grave an alert is.
type Severity string

// The severities, the gravest first.
const (
	Grave Severity = "grave" // something is wrong now, or will be buried or missed
	Act   Severity = "act"   // somebody must do something by a day
	Note  Severity = "note"  // worth knowing
)

// Severities lists them, the gravest first.
var Severities = []Severity{Grave, Act, Note}

// Alert is something about the plan that somebody should know.
type Alert struct {
	Key      string          `json:"key"` // the same from plan to plan
	Kind     AlertKind       `json:"kind"`
	Severity Severity        `json:"severity"`
	Steps    []ID            `json:"steps,omitempty"`
	Places   []ID            `json:"places,omitempty"`
	Trades   []ID            `json:"trades,omitempty"`
	People   []ID            `json:"people,omitempty"`
	Days     []worktime.Date `json:"days,omitempty"`
	Sentence string          `json:"sentence"`
	Remedy   string          `json:"remedy"`          // what could be done
	Aside    string          `json:"aside,omitempty"` // a person's reason for putting it out of sight
}
