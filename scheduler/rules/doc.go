// Package rules says whether a job is sound, wherever it came from: a file, the
// database or a request. A sound job is one that can be expanded and planned; it
// may still hold statements that contradict each other in time (a loop of waits,
// a pin against a most-time), which the plan itself shows.
//
// Each fault says what is wrong and how to mend it, names the key it is about
// (scheduler.Fault.Field) and stands at the position of the thing that it is
// about. There is one file for each kind of thing.
package rules
