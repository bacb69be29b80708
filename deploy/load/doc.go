// Package load holds only benchmarks: the program as people run it, under load, and
// with a job that is larger than any it is meant for. It starts the real binary with
// a Postgres of its own; the load comes from a public tool for that, in this process,
// on the same cores. make bench runs it and prints the figures.
package load
