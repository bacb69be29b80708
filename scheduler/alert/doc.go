// Package alert finds what somebody on the job should know about a plan: what is
// wrong now, what must be done by a day, what is worth knowing. Each kind of alert
// has its own file, which states its rules.
//
// # Keys
//
// An alert's key is its kind and the names of what it concerns, never a date: it
// stays the same from plan to plan while the matter stays, so that a person can
// put it aside with a reason. An alert that turns grave gets another key (with
// "grave" at its end), because a reason for living with a warning is no reason for
// living with the harm.
//
// # Limits
//
// The limits below are common practice, no source.
package alert

const (
	orderAhead   = 10 // working days: an order to be placed within these is shown
	holdAhead    = 10 // working days: a late hold point is shown once it is this near
	releaseAhead = 5  // working days: a hold point that is ready and that others need this soon
	coverAhead   = 5  // working days: a layer about to be covered
	bookAhead    = 5  // working days: a visit whose notice falls due this soon
	drawingAhead = 10 // working days: work by a drawing of which no revision is out
	lookAhead    = 20 // working days: places and trades are looked at this far ahead
	promiseGrave = 2  // working days: a promised day so near is one on which a trade may come in vain
	gapDays      = 5  // working days away from the site that part one visit from the next
	usedPercent  = 80 // of an exposure limit
)
