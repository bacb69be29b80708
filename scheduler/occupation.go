package scheduler

// Occupation holds a place or a piece of gear from one step's start to another
// step's finish: staging up until staging struck.
type Occupation struct {
	ID     ID
	Title  string
	Place  ID   // either a place
	Gear   ID   // or gear
	From   ID   // held from the start of this step
	To     ID   // to the finish of this one
	Alone  bool // the whole place, not one task's room of it
	Admits []ID // steps that may be in the place all the same
	Pos    Pos
}
