// Package worktime is clock arithmetic on integers: civil days, wall-clock
// periods, spans with their unit, and calendars of working time.
//
// Every instant is a whole number of minutes, so a result is the same on every
// machine. Working periods are wall-clock periods in one time zone and survive
// daylight saving; elapsed time is real time, so 24 h over a clock change is 24 h.
package worktime
