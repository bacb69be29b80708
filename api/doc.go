// Package api answers HTTP: the JSON API under /api with its OpenAPI document,
// events, calendars, health, sign-in; and it carries the pages that package web
// adds. Handlers parse, call the office and render; rules live in the domain.
//
// Every error is a problem (RFC 9457), mapped in one place: problem.go.
package api
