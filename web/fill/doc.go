// Package fill fills the templates of html/template faster than they fill themselves.
//
// html/template reads a template, works out where in the page each value goes, and
// writes into the template's tree how it has to be escaped there. This package takes
// that tree and the one type that the template is filled with, finds every field and
// method in the type beforehand, and keeps a list of steps that append to a page. What is
// found at the start need not be looked up by name each time a page is read.
//
// It knows what the pages of this service need of the language of templates, and of
// the ways to escape those for text, titles, quoted attributes and addresses. Whatever
// else a template asks for fails when it is made, never when it is read.
package fill
