package signin

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// Where the sign-in pages are.
const (
	Path         = "/sign-in"          // the page itself, and where one-time links lead
	LinkPath     = "/sign-in/link"     // the button that spends one
	MailPath     = "/sign-in/mail"     // asks for a link by mail
	PasswordPath = "/sign-in/password" // with an address
	OutPath      = "/sign-out"
	VisitPath    = "/visit" // where a trade's link leads
	HomePath     = "/mine"  // and where it goes on to
)

//go:embed signin.html
var pageText string

var page = template.Must(template.New("sign-in").Parse(pageText))

// view is what the page shows.
type view struct {
	Style, Next, Email string
	Mail               bool // links can be mailed
	Least              int  // characters of a password

	// At most one of these: what has just happened.
	Spent, Wrong, Busy, Mailed bool

	// With a link in hand the page is one button.
	Button       bool
	Name, Leaves string // whom it signs in, and whom out
	Trade        bool
}

// Routes adds the sign-in page, the ways in, and signing out. Who may use them, and
// how often, is said where all routes are, in package rights.
func (k *Keeper) Routes(e *echo.Echo) {
	e.GET(Path, k.visit)
	e.GET(LinkPath, k.hold)
	e.POST(LinkPath, k.spend)
	e.POST(MailPath, k.mailForm)
	e.POST(PasswordPath, k.passwordForm)
	e.GET(VisitPath, k.visitTrade)
	e.POST(OutPath, k.leave)
}

// private keeps a page that had a secret in its address out of caches and out of
// what is told to others of where the reader came from.
func private(c echo.Context) {
	c.Response().Header().Set("Cache-Control", "no-store")
	c.Response().Header().Set("Referrer-Policy", "no-referrer")
}

// visit takes the secret of a one-time link out of the address at once. A printed
// link is spent by that; others only by the button that follows, because programs
// that look through mail open what they find. Without a secret it is the page with
// the ways to sign in.
func (k *Keeper) visit(c echo.Context) error {
	private(c)
	next, signedIn := localPath(c.QueryParam("next")), !From(c.Request().Context()).Nobody()
	secret := c.QueryParam("secret")
	if secret == "" {
		if signedIn {
			return c.Redirect(http.StatusSeeOther, next)
		}
		return k.show(c, http.StatusOK, view{Next: next})
	}
	how, _, err := k.store.SignInLink(c.Request().Context(), db.HashOf(secret))
	switch {
	case errors.Is(err, scheduler.ErrNotFound) && signedIn:
		return c.Redirect(http.StatusSeeOther, next) // the link opened twice in one browser
	case errors.Is(err, scheduler.ErrNotFound):
		return k.show(c, http.StatusForbidden, view{Spent: true, Next: next})
	case err != nil:
		return err
	case how == db.Printed:
		return k.enterBy(c, secret, next)
	}
	return k.pend(c, secret, next)
}

// visitTrade opens a trade's link, and takes its secret out of the address. Where
// somebody else has signed in, it asks first.
func (k *Keeper) visitTrade(c echo.Context) error {
	private(c)
	secret := c.QueryParam("secret")
	if v := From(c.Request().Context()); !v.Nobody() && v.Link == nil && secret != "" {
		return k.pend(c, secret, HomePath)
	}
	return k.enterBy(c, secret, HomePath)
}

// pend keeps a secret for the button.
func (k *Keeper) pend(c echo.Context, secret, next string) error {
	k.setCookie(c, pendingName, secret, pendingLife)
	return c.Redirect(http.StatusSeeOther, LinkPath+"?next="+url.QueryEscape(next))
}

// pending is the secret that waits for the button, empty: none.
func (k *Keeper) pending(r *http.Request) string {
	c, err := r.Cookie(k.cookieName(r, pendingName))
	if err != nil {
		return ""
	}
	return c.Value
}

// hold shows the button that spends a link.
func (k *Keeper) hold(c echo.Context) error {
	private(c)
	ctx, hash := c.Request().Context(), db.HashOf(k.pending(c.Request()))
	v := view{Next: localPath(c.QueryParam("next")), Button: true, Leaves: From(ctx).Name}
	var err error
	if _, v.Name, err = k.store.SignInLink(ctx, hash); errors.Is(err, scheduler.ErrNotFound) {
		var link db.TradeLink
		link, err = k.store.TradeLinkOf(ctx, hash)
		v.Name, v.Trade = link.Label, true
	}
	switch {
	case errors.Is(err, scheduler.ErrNotFound):
		return k.show(c, http.StatusForbidden, view{Spent: true, Next: v.Next})
	case err != nil:
		return err
	}
	return k.show(c, http.StatusOK, v)
}

func (k *Keeper) spend(c echo.Context) error {
	private(c)
	return k.enterBy(c, k.pending(c.Request()), localPath(c.FormValue("next")))
}

// enterBy opens a session for a secret and leads on.
func (k *Keeper) enterBy(c echo.Context, secret, next string) error {
	o, err := k.Open(c.Request().Context(), secret, Device(c.Request().UserAgent()))
	if errors.Is(err, ErrSpent) {
		return k.show(c, http.StatusForbidden, view{Spent: true, Next: next})
	}
	if err != nil {
		return err
	}
	if err := k.enter(c, o); err != nil {
		return err
	}
	if o.Trade {
		next = HomePath
	}
	return c.Redirect(http.StatusSeeOther, next)
}

// mailForm says the same whether the address is known or not.
func (k *Keeper) mailForm(c echo.Context) error {
	private(c)
	if k.Mailer == nil {
		return echo.ErrNotFound
	}
	k.MailLink(c.FormValue("email"))
	return k.show(c, http.StatusOK, view{Mailed: true, Next: localPath(c.FormValue("next"))})
}

func (k *Keeper) passwordForm(c echo.Context) error {
	private(c)
	v := view{Next: localPath(c.FormValue("next")), Email: c.FormValue("email")}
	o, err := k.OpenWithPassword(c.Request().Context(), v.Email, c.FormValue("password"), Device(c.Request().UserAgent()))
	switch {
	case errors.Is(err, ErrWrong):
		v.Wrong = true
		return k.show(c, http.StatusForbidden, v)
	case errors.Is(err, ErrBusy):
		v.Busy = true
		c.Response().Header().Set("Retry-After", fmt.Sprint(int(longestQueue.Seconds())))
		return k.show(c, http.StatusServiceUnavailable, v)
	case err != nil:
		return err
	}
	if err := k.enter(c, o); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, v.Next)
}

func (k *Keeper) leave(c echo.Context) error {
	if err := k.End(c.Request().Context(), k.tokenOf(c.Request())); err != nil {
		return err
	}
	k.setCookie(c, CookieName, "", 0)
	k.setCookie(c, pendingName, "", 0)
	// What the browser keeps for reading without a connection goes too.
	c.Response().Header().Set("Clear-Site-Data", `"storage"`)
	return c.Redirect(http.StatusSeeOther, Path)
}

func (k *Keeper) show(c echo.Context, status int, v view) error {
	v.Style, v.Mail, v.Least = k.Style, k.Mailer != nil, LeastPassword
	var b strings.Builder
	if err := page.Execute(&b, v); err != nil {
		return err
	}
	return c.HTML(status, b.String())
}

// localPath is a path of this service to lead on to, never another's address.
func localPath(p string) string {
	if !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsAny(p, "\\\r\n\t") {
		return "/"
	}
	return p
}
