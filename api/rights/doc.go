// Package rights says who may do what: one table of all that the service answers,
// pages and API alike, and the one place that holds every request to it. A route
// that the table does not name cannot be served.
//
// To add a route, add its line to the table: the method and the address as echo has
// it declared, with who may. The tests ask each line, in every role, of the running
// service.
package rights
