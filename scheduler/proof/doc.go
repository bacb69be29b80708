// Package proof finds shortest schedules and proves them: a search over the starts
// of steps that learns from every dead end (lazy clause generation: Ohrimenko,
// Stuckey and Codish, Constraints 14, 2009; for scheduling Schutt, Feydy, Stuckey and
// Wallace, Constraints 16, 2011, and J. of Scheduling 16, 2013).
//
// Each step has one variable, its start, known by two bounds. A literal is a bound:
// "starts no earlier than t" or "no later than t". Propagators tighten bounds and say
// which literals made them do so; a dead end is traced back through these reasons to
// a clause that forbids its cause, which prunes the search from then on. Literals
// are made only when they are needed, so that starts may range over years of minutes.
//
// Waits and calendars enter as monotone functions of starts, limits as cumulative
// resources whose time-table is explained point by point. When no schedule is left
// that ends before the best one, that one is proven the shortest.
package proof
