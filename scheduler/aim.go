package scheduler

// AimKind is one of the things that a plan is made for.
type AimKind string

// The aims of a plan, in their order: a plan comes as near to each as it can without
// giving up any of those before it.
const (
	AimDueDays    AimKind = "due days"   // due days kept
	AimFinish     AimKind = "finish"     // an early finish
	AimVisits     AimKind = "visits"     // trades that need not leave and come back
	AimDeliveries AimKind = "deliveries" // goods that do not lie on site for long
)

// Aim is how near a plan comes to one of its aims, and how near any plan can come that
// gives up none of the aims before it. Reached and Least are
//   - for due days the minutes by the clock by which they are missed, all together;
//   - for the finish the site's working minutes from as of;
//   - for visits how many there are: a trade that is away from the site for more than
//     one working day and comes back makes another one;
//   - for deliveries the minutes by which goods lie on site before their first use for
//     longer than they may, all together, of the kind of time in which that is given;
//     the least is that with all other dates as they are.
type Aim struct {
	Kind    AimKind `json:"kind"`
	Reached int64   `json:"reached"`
	Least   int64   `json:"least"`  // no plan reaches less
	Proven  bool    `json:"proven"` // Reached is Least
	Text    string  `json:"text"`   // all of it in words, with what the least rests on
}
