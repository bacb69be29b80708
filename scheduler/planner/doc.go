// Package planner is the one entry to the solver: a job goes in, a plan with a
// reason for every date comes out.
package planner
