// Package levelling fits a dated network to its limits: crews of trades, room in
// places, places that a step needs alone, gear, and occupations that hold one of
// these from one step's start to another's finish.
//
// A Problem is what any solver of this model is given, a Schedule what it gives
// back. Level makes the schedule with a serial schedule generation scheme (Kelley
// 1963) over calendars, ordered by latest start, and improves it by forward-backward
// passes (Li and Willis 1992; Tormos and Lova 2001) and seeded variations of the
// order. Chain then fixes the order between steps that share a limit, so that
// planned dates, slack and reasons follow from one longest-path computation.
package levelling
