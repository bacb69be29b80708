package scheduler

// Site is what those who come there have to know of the site, in a person's words.
type Site struct {
	Access    string // how to get in, and who has the key
	Parking   string
	Unloading string
	Storage   string // where what was brought may lie
	Lifting   string // what there is to lift with, and who is asked for it
	Power     string // where to plug in, and water
}
