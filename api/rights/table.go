package rights

// Service is who may use what is neither API nor page: signs of life and the ways
// in and out.
var Service = Table{
	"GET /healthz": Everybody("a supervisor asks it, and it tells only that the program runs"),
	"GET /readyz":  Everybody("a proxy asks it, and it tells only whether the database answers"),

	"GET /sign-in":           Everybody("it is the way in").Door(),
	"GET /sign-in/link":      Everybody("it is the way in").Door(),
	"POST /sign-in/link":     Everybody("it is the way in").Door(),
	"POST /sign-in/mail":     Everybody("it is the way in").Door(),
	"POST /sign-in/password": Everybody("it is the way in").Door(),
	"GET /visit":             Everybody("it is the way in of trades, by the secret in the address").Door(),
	"GET /calendar/:file":    Everybody("calendar programs cannot sign in; the secret in the address opens that calendar and nothing else").Door(),
	"POST /sign-out":         Everybody("who has signed in ends nothing but their own session by it, and who has not ends none"),
}

// API is who may use the API.
var API = Table{
	"GET /api/openapi.json":     Everybody("it is the contract, without anything of a job in it"),
	"GET /api/openapi.yaml":     Everybody("it is the contract, without anything of a job in it"),
	"GET /api/openapi-3.0.json": Everybody("it is the contract, without anything of a job in it"),
	"GET /api/openapi-3.0.yaml": Everybody("it is the contract, without anything of a job in it"),

	"POST /api/sessions":          Everybody("it is the way in").Door(),
	"POST /api/sessions/password": Everybody("it is the way in").Door(),
	"POST /api/sessions/mail":     Everybody("it is the way in").Door(),
	"DELETE /api/sessions":        Known,
	"POST /api/sign-in-links":     SignedIn,

	// Everybody's own account, and no other.
	"GET /api/you":                      SignedIn,
	"PUT /api/you":                      SignedIn,
	"PUT /api/you/password":             SignedIn.Door(),
	"GET /api/you/sessions":             SignedIn,
	"DELETE /api/you/sessions":          SignedIn,
	"DELETE /api/you/sessions/:session": SignedIn,

	"GET /api/accounts":             Steward,
	"DELETE /api/accounts/:account": Steward,

	"GET /api/jobs/:job/people":                Seated,
	"POST /api/jobs/:job/people":               Owner,
	"PUT /api/jobs/:job/people/:account":       Owner,
	"DELETE /api/jobs/:job/people/:account":    Owner,
	"POST /api/jobs/:job/people/:account/link": Owner,

	"GET /api/jobs/:job/links":          Site,
	"POST /api/jobs/:job/links":         Site,
	"DELETE /api/jobs/:job/links/:link": Site,

	"GET /api/jobs": SignedIn, // those that one has a seat on

	"GET /api/jobs/:job":                                Seated,
	"GET /api/jobs/:job/alerts":                         Seated,
	"GET /api/jobs/:job/comparisons/:revision/:against": Seated,
	"PUT /api/jobs/:job/comparisons/:revision/:against": Seated,
	"GET /api/jobs/:job/drawings":                       Seated,
	"GET /api/jobs/:job/dues":                           Seated,
	"GET /api/jobs/:job/events":                         Seated.Lasting(),
	"GET /api/jobs/:job/facts":                          Seated,
	"GET /api/jobs/:job/file":                           Seated,
	"GET /api/jobs/:job/history":                        Seated,
	"GET /api/jobs/:job/holds":                          Seated,
	"GET /api/jobs/:job/holds/:hold":                    Seated,
	"GET /api/jobs/:job/issues":                         Seated,
	"GET /api/jobs/:job/issues/:letter":                 Seated,
	"GET /api/jobs/:job/moved":                          Seated,
	"GET /api/jobs/:job/odds":                           Seated,
	"GET /api/jobs/:job/orders":                         Seated,
	"GET /api/jobs/:job/orders/:order":                  Seated,
	"GET /api/jobs/:job/pins":                           Seated,
	"GET /api/jobs/:job/places":                         Seated,
	"GET /api/jobs/:job/plan":                           Seated,
	"GET /api/jobs/:job/searches":                       Seated,
	"GET /api/jobs/:job/self-check":                     Seated,
	"GET /api/mine/events":                              Link.Lasting(),
	"GET /api/jobs/:job/steps":                          Seated,
	"GET /api/jobs/:job/steps/:step":                    Seated,
	"GET /api/jobs/:job/steps/:step/why":                Seated,
	"GET /api/jobs/:job/trades":                         Seated,
	"GET /api/jobs/:job/trades/:trade":                  Seated,
	"GET /api/jobs/:job/trades/:trade/calendar":         Seated,
	"GET /api/jobs/:job/trades/:trade/windows":          Seated,
	"GET /api/jobs/:job/waits":                          Seated,
	"GET /api/jobs/:job/waivers":                        Seated,
	"GET /api/jobs/:job/windows":                        Seated,

	"GET /api/jobs/:job/revisions":                Seated,
	"GET /api/jobs/:job/revisions/:revision/file": Seated,

	"GET /api/mine":                              Link,
	"GET /api/mine/windows":                      Link,
	"GET /api/mine/tasks":                        Link,
	"GET /api/mine/calendar":                     Link,
	"POST /api/mine/windows/:window/confirm":     Link,
	"POST /api/mine/windows/:window/cannot-come": Link,
	"PATCH /api/mine/steps/:step/progress":       Link,

	"POST /api/jobs/:job/undo":                      Verdicts, // the owner whatever anybody did, others their own changes
	"GET /api/jobs/:job/attachments":                Seated,
	"POST /api/jobs/:job/attachments":               Verdicts,
	"GET /api/jobs/:job/attachments/:attachment":    Seated,
	"DELETE /api/jobs/:job/attachments/:attachment": Verdicts, // of these the owner, and within a day who brought it
	"POST /api/jobs/:job/issues":                    Owner,
	"PUT /api/jobs/:job/as-of":                      Owner,
	"PUT /api/jobs/:job/file":                       Owner, // of a job that is not there yet: the steward
	"PUT /api/jobs/:job/dues/:due":                  Owner,
	"DELETE /api/jobs/:job/dues/:due":               Owner,
	"PUT /api/jobs/:job/pins/:step":                 Owner,
	"DELETE /api/jobs/:job/pins/:step":              Owner,
	"PUT /api/jobs/:job/steps/:step/takes":          Owner,

	"GET /api/jobs/:job/trials":                           Seated,
	"GET /api/jobs/:job/trials/:trial":                    Seated,
	"GET /api/jobs/:job/trials/:trial/outcome":            Seated,
	"GET /api/jobs/:job/trials/:trial/plan":               Seated,
	"POST /api/jobs/:job/trials":                          Trial,
	"DELETE /api/jobs/:job/trials/:trial":                 Trial,
	"POST /api/jobs/:job/trials/:trial/changes":           Trial,
	"DELETE /api/jobs/:job/trials/:trial/changes/:change": Trial,
	"POST /api/jobs/:job/trials/:trial/adopt":             Trial, // of each change it is asked again whether it is theirs to make

	"POST /api/jobs/:job/names":     Design, // of what is not of the design, the owner
	"POST /api/jobs/:job/waivers":   Design,
	"DELETE /api/jobs/:job/waivers": Design,

	"POST /api/jobs/:job/holds/:hold/release": Verdicts,
	"POST /api/jobs/:job/holds/:hold/refuse":  Verdicts,
	"POST /api/jobs/:job/holds/:hold/book":    Verdicts,

	"POST /api/jobs/:job/windows/:window/confirm":     Site, // what a trade said by telephone
	"POST /api/jobs/:job/windows/:window/cannot-come": Site,

	"PATCH /api/jobs/:job/facts/:step":       Site,
	"PUT /api/jobs/:job/facts/:step":         Site,
	"DELETE /api/jobs/:job/facts/:step":      Site,
	"PUT /api/jobs/:job/trades/:trade/crews": Site,
	"PUT /api/jobs/:job/trades/:trade/off":   Site,
	"POST /api/jobs/:job/alerts/aside":       Site,
	"DELETE /api/jobs/:job/alerts/aside":     Site,
}

// Pages is who may see which page and send which form.
var Pages = Table{
	"GET /static/*": Everybody("the sign-in page has a style too, and there is nothing of a job in it"),

	"GET /":      SignedIn, // the jobs that one has a seat on
	"GET /words": Known,    // there is nothing of a job in it, and the foot of every page leads there

	// Everybody's own account, and no other.
	"GET /you":           SignedIn,
	"POST /you":          SignedIn,
	"POST /you/password": SignedIn.Door(),
	"POST /you/sessions": SignedIn,
	"POST /you/device":   SignedIn,

	"GET /jobs/:job/people":                Seated,
	"POST /jobs/:job/people":               Owner,
	"POST /jobs/:job/people/:account":      Owner,
	"POST /jobs/:job/people/:account/link": Owner,
	"POST /jobs/:job/links":                Site,
	"POST /jobs/:job/links/:link/revoke":   Site,

	"GET /jobs/:job":                  Seated,
	"GET /jobs/:job/places":           Seated,
	"GET /jobs/:job/alerts":           Seated,
	"GET /jobs/:job/odds":             Seated,
	"GET /jobs/:job/orders":           Seated,
	"GET /jobs/:job/issued":           Seated,
	"GET /jobs/:job/trades":           Seated,
	"GET /jobs/:job/trades-over-time": Seated,
	"GET /jobs/:job/flow":             Seated,
	"GET /jobs/:job/pieces/:picture":  Seated, // of the three pictures over time
	"GET /jobs/:job/trades/:trade":    Seated,
	"GET /jobs/:job/layers":           Seated,
	"GET /jobs/:job/history":          Seated,
	"GET /jobs/:job/trials":           Seated,
	"GET /jobs/:job/trials/:trial":    Seated,
	"GET /jobs/:job/steps/:step":      Seated,

	"GET /jobs/:job/revisions/:revision/file": Seated,

	"GET /new-job":          Steward,
	"POST /new-job":         Steward,
	"GET /jobs/:job/begin":  Owner,
	"POST /jobs/:job/begin": Owner,

	// The job itself: everybody reads it, each kind of thing is changed at one address.
	"GET /jobs/:job/edit":                            Seated,
	"GET /jobs/:job/edit/:kind":                      Seated,
	"GET /jobs/:job/edit/:kind/:thing":               Owner,
	"POST /jobs/:job/edit/:kind/:thing":              Owner,
	"GET /jobs/:job/edit/:kind/:thing/:part/:inner":  Owner,
	"POST /jobs/:job/edit/:kind/:thing/:part/:inner": Owner,
	"GET /jobs/:job/design/:kind/:thing":             Design, // build-ups, waits, hold points
	"POST /jobs/:job/design/:kind/:thing":            Design,

	"GET /jobs/:job/week.pdf":   Seated,
	"GET /jobs/:job/orders.pdf": Seated,
	"GET /jobs/:job/layers.pdf": Seated,

	"GET /jobs/:job/trades/:trade/sheet.pdf": Seated,

	"GET /mine":                                      Link,
	"POST /mine/windows/:window/confirm":             Link,
	"POST /mine/windows/:window/cannot-come":         Link,
	"POST /mine/steps/:step/progress":                Link,
	"GET /jobs/:job/attachments/:attachment":         Seated,
	"POST /jobs/:job/attachments/:attachment/remove": Verdicts, // of these the owner, and within a day who brought it
	"POST /jobs/:job/steps/:step/attach":             Verdicts,

	"POST /jobs/:job/as-of":                    Owner,
	"POST /jobs/:job/issued":                   Owner,
	"POST /jobs/:job/trials":                   Trial,
	"POST /jobs/:job/trials/:trial/add":        Trial,
	"POST /jobs/:job/trials/:trial/take-out":   Trial,
	"POST /jobs/:job/trials/:trial/adopt":      Trial,
	"POST /jobs/:job/trials/:trial/throw-away": Trial,

	// Everything of the job as a trial has it. Who adopts it is asked again, of each change.
	"GET /jobs/:job/trials/:trial/would":                           Trial,
	"GET /jobs/:job/trials/:trial/edit":                            Trial,
	"GET /jobs/:job/trials/:trial/edit/:kind":                      Trial,
	"GET /jobs/:job/trials/:trial/edit/:kind/:thing":               Trial,
	"POST /jobs/:job/trials/:trial/edit/:kind/:thing":              Trial,
	"GET /jobs/:job/trials/:trial/edit/:kind/:thing/:part/:inner":  Trial,
	"POST /jobs/:job/trials/:trial/edit/:kind/:thing/:part/:inner": Trial,

	"POST /jobs/:job/undo": Verdicts, // the owner whatever anybody did, others their own changes

	"POST /jobs/:job/trades/:trade/said":      Site, // by telephone
	"POST /jobs/:job/trades/:trade/sheet.pdf": Site, // with a private link on it

	"GET /jobs/:job/layers/:buildup/order":  Design, // plans a copy of the job
	"POST /jobs/:job/layers/:buildup/order": Design,

	"POST /jobs/:job/alerts/aside": Site,
	"POST /jobs/:job/alerts/back":  Site,

	"POST /jobs/:job/steps/:step/release": Verdicts,
	"POST /jobs/:job/steps/:step/refuse":  Verdicts,
	"POST /jobs/:job/steps/:step/book":    Verdicts,

	"POST /jobs/:job/steps/:step/expect":    Site,
	"POST /jobs/:job/steps/:step/progress":  Site,
	"POST /jobs/:job/steps/:step/take-back": Site,
}
