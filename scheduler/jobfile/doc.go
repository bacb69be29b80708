// Package jobfile reads and writes the job file: one building job in YAML, as
// people keep it.
//
// Reading is strict. A key that is not known, a name that nothing has, a day that
// no calendar shows, a length of time without a unit: each is told with its line
// and column, what stands there and how to mend it, and all of them at once. The
// shape of the file is held by this package, what it says by package rules.
//
// There is one table for each kind of thing (see table): it lists the keys, and
// both Read and Write go by it, so that what can be written can be read. Schema
// gives the same shape to editors.
//
// # Order of waits
//
// A wait may stand under "after" of the step that waits, or apart under "waits".
// Both are read into the one order of scheduler.Job.CanonicalWaits; Write puts each
// wait under "after" where it can be (into the start of a task, a hold or an
// order's first step) and the others under "waits". Read(Write(job)) is the job in
// its canonical form. Comments and layout are not kept.
package jobfile
