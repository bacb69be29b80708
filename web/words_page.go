package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
)

// wordsPage explains what the words of the pages mean, and the cautions.
type wordsPage struct {
	Frame
	Words    []meaning
	Cautions []scheduler.Caution
}

type meaning struct{ ID, Word, Means string }

func (wordsPage) name() string { return "words" }

func (p *Pages) words(c echo.Context) error {
	return p.render(c, http.StatusOK, wordsPage{Frame: Frame{Title: "Words and cautions"}, Words: meanings, Cautions: scheduler.Cautions})
}

var meanings = []meaning{
	{"as-of", "As of", "The day the plan is computed from. What was recorded before it is fact; what is not done lies after it."},
	{"place", "Place", "A part of the building. Places lie within each other: opening, wall, house. Some have room for only so many tasks at once."},
	{"task", "Task", "Work by one or more trades in one or more places, with a length in working time."},
	{"hold", "Hold point", "A gate: what depends on it does not start until a named person releases it. Kinds are delivery, inspection, test, decision, measure, approval and mock-up. The program never releases one."},
	{"witness", "Witness point", "Like a hold point, but the work may go on once the notice has passed and nobody came."},
	{"order", "Order", "Something that takes long to come: a chain of stages, say drawing, approval, making and carriage, that ends in a delivery."},
	{"order-by", "Order by", "The last day on which an order can be placed and still come before the day it is needed."},
	{"need-by", "Need by", "The day by which something must be there so that nobody in the plan waits for it."},
	{"wait", "Wait", "The order between two steps: a least time between them, sometimes a most, with a reason: cure, buried, access, exposure, or the sense of the work."},
	{"build-up", "Build-up", "The layers of an assembly. Each is put there by a task and covers the one before; what must be seen has to be seen before it is covered."},
	{"exposure", "Exposure limit", "The most time for which a layer may stay uncovered."},
	{"window", "Window of access", "The time in which a place is a trade's: the earliest day it can be in, its planned days, the day to be out so that nobody else moves, and the day to be out so that the due days hold."},
	{"due", "Due day", "A day by which a step must finish. A due day that cannot be kept is shown as missed; the plan still comes out."},
	{"total-float", "Total float", "How far a step can slip before a due day or the finish moves, if crews and places were no matter."},
	{"free-float", "Free float", "How far a step can slip before any other step moves, if crews and places were no matter."},
	{"slack", "Slack in the plan", "How far a step can slip once crews, places and gear are counted, keeping the order that the plan gives them. This is the figure to rely on when talking to a trade."},
	{"driving", "The driving line", "The chain of steps, waits and limits that sets the finish. Gaining a day anywhere off it gains nothing at the end."},
	{"out-of-order", "Out of order", "Work that began before what it should have waited for. What was recorded stays; the rest of it waits, unless a named person waives the wait with a reason."},
	{"waived", "Waived", "A wait that a named person has lifted, with a reason. It stays visible."},
	{"at-best", "At best, at worst", "What work could take if all goes well, and if much goes badly, beside what it usually takes. The plan goes by the usual; these two say how likely its days are."},
	{"drawing", "Drawing", "A sheet by which work is done. Only the revision written down here counts; older ones on site do not."},
	{"pin", "Pin", "A person's word that a step starts on a day, or not before one."},
}
