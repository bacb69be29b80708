// Package web is the pages: rendered on the server from the office's sheets, each
// page a typed struct and a template of its own, whole without script and readable
// on a phone. Changes are made with the domain's own commands through the office;
// the page that follows shows the new plan.
package web
