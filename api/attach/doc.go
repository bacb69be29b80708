// Package attach keeps what people attach to the steps of a job, for the API and the
// pages alike: photographs, drawings, reports.
//
// What a file is, its own bytes say and not its sender. It is given out as a
// download of that type under a harmless name, and never shown in a page of this
// service, so that nothing in it can act for whoever looks at it.
package attach
