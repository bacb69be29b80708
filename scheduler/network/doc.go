// Package network dates a job's steps: it lays an expanded network out as flat
// slices of integers and computes earliest and latest dates over calendars, waits
// between either end with least and most times, recorded facts, pins and due days.
//
// The arithmetic is monotone: with W(t) the working minutes before t on a wait's
// calendar, a least time w from t to u means u >= t and W(u) - W(t) >= w, a most
// time m means W(u) - W(t) <= m. A most time is kept as an arc that runs backwards
// with a negative lag, so that one longest-path computation serves both; each label
// is a start, the finish follows from the step's calendar.
//
// The steps are dated in one sweep in an order in which least times run forwards.
// Where most times push back, the labels are corrected from there until none moves
// (Bellman 1958; Ford 1956). Cost: a sweep takes time in proportion to the steps and
// waits; corrections look again only at what moves.
package network
