package rights

import (
	"slices"
	"strings"

	"gaugerod/api/signin"
	"gaugerod/scheduler"
)

// Who says who may use a route.
type Who struct {
	kind    kind
	roles   []scheduler.Role // of those with a seat on the job in the address
	why     string           // it is for everybody
	door    bool
	lasting bool
}

type kind int

const (
	none kind = iota // nobody: what a line left empty means
	everybody
	known   // whoever has signed in, by a trade's link too
	account // whoever has signed in with an account
	seated  // whoever has one of the roles on the job in the address, and the steward
	steward
	link // a trade's private link and nothing else
)

// Everybody is a route for those who have not signed in too. The reason is part of
// the table: there is no such route without one.
func Everybody(why string) Who { return Who{kind: everybody, why: why} }

// Door marks a route by which one comes in: it takes secrets or passwords, so
// guessing at it is held back.
func (w Who) Door() Who { w.door = true; return w }

// Lasting marks a route whose answer goes on: it is asked again and again whether
// the visitor still may have it.
func (w Who) Lasting() Who { w.lasting = true; return w }

func roles(r ...scheduler.Role) Who { return Who{kind: seated, roles: r} }

// What the table is written in. Those with roles are about the job in the address.
var (
	Known    = Who{kind: known}   // anybody with an account or a trade's link
	SignedIn = Who{kind: account} // anybody with an account
	Steward  = Who{kind: steward} // the machine's own owner
	Link     = Who{kind: link}    // a trade's private link

	Seated   = roles(scheduler.Owner, scheduler.Designer, scheduler.SiteLead, scheduler.Reader)
	Owner    = roles(scheduler.Owner)
	Design   = roles(scheduler.Owner, scheduler.Designer)                     // build-ups, waits, waivers
	Site     = roles(scheduler.Owner, scheduler.SiteLead)                     // progress, who comes, what is on its way
	Trial    = roles(scheduler.Owner, scheduler.Designer, scheduler.SiteLead) // trying changes, and adopting them
	Verdicts = roles(scheduler.Owner, scheduler.Designer, scheduler.SiteLead) // what a person said of a hold point
)

// IsDoor says whether one comes in by the route.
func (w Who) IsDoor() bool { return w.door }

// Why is the reason why a route is for everybody, empty where it is not.
func (w Who) Why() string { return w.why }

// May says whether the visitor may use a page's route or send a form to it, so that
// pages offer nothing that is turned away.
func May(v signin.Visitor, method, path string) bool { return Pages[Key(method, path)].May(v) }

// May says whether the visitor may use the route.
func (w Who) May(v signin.Visitor) bool {
	switch w.kind {
	case everybody:
		return true
	case known:
		return !v.Nobody()
	case account:
		return !v.Nobody() && v.Link == nil
	case steward:
		return v.Steward && v.Link == nil
	case seated:
		return !v.Nobody() && v.Link == nil && (v.Steward || slices.Contains(w.roles, v.Role))
	case link:
		return v.Link != nil
	}
	return false
}

// says is who may, in a sentence for those who may not.
func (w Who) says() string {
	switch w.kind {
	case steward:
		return "Only the owner of the machine that Gaugerod runs on may do that."
	case link:
		return "Only a trade's own private link opens that."
	case account:
		return "That needs an account. A trade's private link opens its own pages, at " + signin.HomePath + ", and nothing else."
	case seated:
		names := make([]string, len(w.roles))
		for k, r := range w.roles {
			names[k] = "the " + string(r)
		}
		last := len(names) - 1
		if last == 0 {
			return "Only " + names[0] + " of the job may do that."
		}
		return "Only " + strings.Join(names[:last], ", ") + " or " + names[last] + " of the job may do that."
	}
	return "Nobody may do that."
}
