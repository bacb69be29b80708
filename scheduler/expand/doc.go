// Package expand turns a job as people state it into the network that is dated:
// typicals repeated over their places, orders as chains of stages, build-ups as
// waits between the steps that lay their layers, and every name resolved to
// steps.
//
// # Names
//
// A reference outside typicals is a step ("strike", "windows.making"), one
// instance of a typical ("opening-n3.pan"), or every instance of a typical's step
// ("openings.pan"). A wait between two references joins each step of the one with
// each step of the other.
//
// Within a typical, at each of its places, a reference is first one of its own
// local names; then as above, except that "typical.local" of any typical that is
// repeated at the same place means the instance at that place, and only where it
// is not, every instance.
//
// # Build-ups
//
// At each place of a build-up the step that lays a layer is a step, or
// "typical.local" at that place. Between two adjacent layers laid by different
// steps lie: the wait from the finish of the one to the start of the next (with
// the cure), one wait for each hold that must see the layer, and, where the layer
// may stay open only so long, a most-time from the start of its step to the finish
// of the next one's. Layers laid by one step give no wait and no cover.
//
// # Cost
//
// Time and memory grow with the steps and waits that come out: each is made once
// and each name is one look-up in a map.
package expand
