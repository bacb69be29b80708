// Package scheduler is the model of one building job and of its plan: places,
// trades, tasks, hold points, orders, waits, build-ups, facts; and, computed from
// them, dates with a reason for each.
//
// The package and all below it are pure: no clock, no files, no database, no
// network. Data flows one way: a Job (read by jobfile or loaded by package db) is
// expanded into a Network of steps and waits (expand), dated (network), fitted to
// crews and room (levelling) and returned as a Plan by planner, the one entry. A
// Plan is checked by verify, which shares no code with the rest.
//
// Gaugerod orders work; it never says that work is safe. A computed date is no
// permission to load, strip, undercut, remove a support, energise or enter.
package scheduler
