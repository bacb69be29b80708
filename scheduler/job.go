package scheduler

import "gaugerod/scheduler/worktime"

// ID is the short readable name of a thing within one job: lower-case letters,
// digits and hyphens; an expanded step joins two with a dot ("opening-n3.pan").
type ID string

// Pos is where in a job file something was written. It is zero for what came
// from elsewhere and takes no part in comparing jobs.
type Pos struct{ Line, Column int }

// Job is one building project as people state it. Everything in it is a
// statement by a person; nothing is computed.
type Job struct {
	ID       ID
	Title    string
	Zone     string        // IANA time zone
	Start    worktime.Date // no work before this day
	AsOf     *worktime.Date
	Week     worktime.Week // the site's working week
	Day      worktime.Span // what "1 day" of work means, in hours or minutes; zero: the week's longest day
	Closures []Closure
	Site     Site

	People      []Person
	Trades      []Trade
	Gear        []Gear
	Places      []Place
	Tasks       []Task
	Holds       []Hold
	Orders      []Order
	Typicals    []Typical
	BuildUps    []BuildUp
	Drawings    []Drawing
	Waits       []Wait
	Occupations []Occupation
	Dues        []Due
	Facts       []Fact
	Waivers     []Waiver
	Pins        []Pin
	Asides      []Aside
	Issues      []Issue   // the plans sent out as agreed, the oldest first
	Promises    []Promise // the windows agreed with trades
	Answers     []Answer  // what trades said of windows in which they cannot come
}

// DayMinutes is the working minutes that "1 day" stands for in this job.
func (j *Job) DayMinutes() int64 {
	if !j.Day.Zero() {
		return j.Day.Minutes(0, 0)
	}
	return j.Week.LongestDay()
}

// Minutes is the length of a span in this job: working minutes, or real ones
// where the span is elapsed.
func (j *Job) Minutes(s worktime.Span) int64 {
	if s.Unit != worktime.Days && s.Unit != worktime.Weeks {
		return s.Minutes(0, 0) // what a day or a week is does not matter
	}
	return s.Minutes(j.DayMinutes(), j.Week.WorkingDays())
}

// Closure is a run of days, both ends included, on which nobody works, with why.
type Closure struct {
	From, To worktime.Date
	Why      string
	Pos      Pos
}

// Role is what a person may do and is told.
type Role string

// The roles of people on a job.
const (
	Owner     Role = "owner"
	Designer  Role = "designer"
	SiteLead  Role = "site lead"
	TradeRole Role = "trade"
	Inspector Role = "inspector"
	Engineer  Role = "engineer"
	Supplier  Role = "supplier"
	Reader    Role = "reader"
)

// Roles lists every role.
var Roles = []Role{Owner, Designer, SiteLead, TradeRole, Inspector, Engineer, Supplier, Reader}

// Person is somebody who releases, decides, answers or is told.
type Person struct {
	ID    ID
	Name  string
	Role  Role
	Trade ID // the firm the person belongs to, if any
	Pos   Pos
}

// Gear is something shared and scarce that tasks hold while they run.
type Gear struct {
	ID    ID
	Title string
	Count int // how many there are, at least 1
	Pos   Pos
}

// Due is a day by whose end a step must finish.
type Due struct {
	ID    ID
	Title string
	Step  ID
	On    worktime.Date
	Pos   Pos
}

// Pin is a person's word about when a step starts: on a day, or not before one.
type Pin struct {
	Step      ID
	On        *worktime.Date // it starts on this day
	NotBefore *worktime.Date // it starts on this day or later
	By        ID
	Reason    string
	Pos       Pos
}

// Aside puts an alert out of sight, with a person's reason.
type Aside struct {
	Alert  string // the alert's key
	By     ID
	On     worktime.Date
	Reason string
	Pos    Pos
}
