package rights

import (
	"slices"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
	"gaugerod/scheduler/trial"
)

// designed are the sections of a job file that the designer changes too.
var designed = []string{"holds", "build-ups", "drawings", "waits"}

// IsDesign says whether the designer changes the things of a section too.
func IsDesign(section string) bool { return slices.Contains(designed, section) }

// Rename is a *RefusedError where the visitor may not give a thing another name: the
// designer does so with what is of the design, the owner with all.
func Rename(v signin.Visitor, thing scheduler.Named) error {
	who := Pages["POST /jobs/:job/edit/:kind/:thing"]
	of := map[scheduler.NameKind]string{
		scheduler.HoldName: "holds", scheduler.BuildUpName: "build-ups", scheduler.LayerName: "build-ups", scheduler.DrawingName: "drawings",
	}
	if IsDesign(of[thing.Kind]) && (thing.In == "" || thing.Kind == scheduler.LayerName) {
		who = Pages["POST /jobs/:job/design/:kind/:thing"]
	}
	if !who.May(v) {
		return &RefusedError{"This name is not yours to change. " + who.says()}
	}
	return nil
}

// alone is the route by which a change of a trial is made without one.
func alone(op trial.Op) Who {
	switch {
	case op.Takes != nil:
		return API["PUT /api/jobs/:job/steps/:step/takes"]
	case op.Crews != nil:
		return API["PUT /api/jobs/:job/trades/:trade/crews"]
	case op.Expected != nil:
		return API["PATCH /api/jobs/:job/facts/:step"]
	case op.Pin != nil:
		return API["PUT /api/jobs/:job/pins/:step"]
	case op.Off != nil:
		return API["PUT /api/jobs/:job/trades/:trade/off"]
	case op.Layer != nil:
		return Pages["POST /jobs/:job/layers/:buildup/order"]
	case op.Put != nil && len(op.Put.Path) > 0 && IsDesign(op.Put.Path[0]):
		return Pages["POST /jobs/:job/design/:kind/:thing"]
	case op.Put != nil:
		return Pages["POST /jobs/:job/edit/:kind/:thing"]
	}
	return Who{}
}

// Adopt is a *RefusedError where the visitor may not make one of a trial's changes in
// the job: a trial opens to nobody what is not theirs.
func Adopt(v signin.Visitor, ops []trial.Op) error {
	for _, op := range ops {
		if who := alone(op); !who.May(v) {
			return &RefusedError{"One of the changes is not yours to make in the job. " + who.says()}
		}
	}
	return nil
}
