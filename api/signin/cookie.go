package signin

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// CookieName is the session cookie's. Over TLS "__Host-" stands before it, by which
// browsers take it from this host alone.
const CookieName = "gaugerod-session"

// pendingName is the cookie's that holds the secret of a link between the opening
// of its address and the button that spends it.
const pendingName = "gaugerod-link"

const pendingLife = 10 * time.Minute

func (k *Keeper) secure(r *http.Request) bool { return k.Secure || r.TLS != nil }

func (k *Keeper) cookieName(r *http.Request, name string) string {
	if k.secure(r) {
		return "__Host-" + name
	}
	return name
}

// setCookie sets a cookie for as long as life, or takes it away with none.
func (k *Keeper) setCookie(c echo.Context, name, value string, life time.Duration) {
	seconds := int(life.Seconds())
	if seconds <= 0 {
		value, seconds = "", -1
	}
	c.SetCookie(&http.Cookie{ //nolint:gosec // on this machine it speaks plain HTTP, where a Secure cookie is not sent
		Name: k.cookieName(c.Request(), name), Value: value, Path: "/", MaxAge: seconds,
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: k.secure(c.Request()),
	})
}

// enter gives the browser its new session, and ends the one that it had.
func (k *Keeper) enter(c echo.Context, o Opened) error {
	if err := k.End(c.Request().Context(), k.tokenOf(c.Request())); err != nil {
		return err
	}
	k.setCookie(c, pendingName, "", 0)
	k.setCookie(c, CookieName, o.Token, o.Until.Sub(k.now()))
	return nil
}
