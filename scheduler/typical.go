package scheduler

// Typical is a sequence written once and repeated at each of its places. The
// step "pan" at the place "opening-n3" is "opening-n3.pan"; tasks and holds
// without a place of their own are in the place at which they repeat.
type Typical struct {
	ID     ID
	Title  string
	Places []ID
	Tasks  []Task
	Holds  []Hold
	Waits  []Wait
	Pos    Pos
}
