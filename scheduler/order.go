package scheduler

import "gaugerod/scheduler/worktime"

// DeliveryStage is the local name of the hold point in which every order ends:
// the order "windows" ends in the step "windows.delivery".
const DeliveryStage ID = "delivery"

// Order is a long-lead item: stages one after the other, begun by what the first
// stage waits for, ending in a delivery.
type Order struct {
	ID       ID
	Title    string
	Supplier ID // a trade or a person
	Stages   []Stage
	Receives ID            // the trade or person who receives and unloads it
	Places   []ID          // where it is brought
	Gear     []ID          // held while it is unloaded
	Unload   worktime.Span // how long unloading takes; zero: no time
	Keep     worktime.Span // how long it may sit before it is used; zero: 10 days
	StandIn  string        // what stands in for it if it is late
	Cautions []Caution
	Note     string
	Pos      Pos
}

// Stage is one leg of an order: shop drawing, approval, making, carriage.
type Stage struct {
	ID     ID // the step is "order.stage"
	Title  string
	Takes  worktime.Span
	Spread Spread
	By     ID // the trade or person whose turn it is
	Pos    Pos
}

// UsualKeep is how long goods may lie on site unused where nothing else is said.
// Common practice, no source.
func UsualKeep() worktime.Span { return worktime.Span{Amount: 10, Unit: worktime.Days} }

// MaySit is how long the goods may lie on site before they are used.
func (o *Order) MaySit() worktime.Span {
	if o.Keep.Zero() {
		return UsualKeep()
	}
	return o.Keep
}

// FirstStep is the step with which the order is placed.
func (o *Order) FirstStep() ID {
	if len(o.Stages) == 0 {
		return o.DeliveryStep()
	}
	return o.ID + "." + o.Stages[0].ID
}

// DeliveryStep is the hold point in which the order ends.
func (o *Order) DeliveryStep() ID { return o.ID + "." + DeliveryStage }
