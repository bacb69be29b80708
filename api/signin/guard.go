package signin

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"
)

// Path is where the sign-in page is and where links lead.
const Path = "/sign-in"

// CookieName is the session cookie's.
const CookieName = "gaugerod-session"

// ErrSignedOut is the answer to a request that nobody has signed in for.
var ErrSignedOut = echo.NewHTTPError(http.StatusUnauthorized, "sign in first")

type whoKey struct{}

// Who is who has signed in for the request of ctx, empty where nobody has.
func Who(ctx context.Context) string {
	who, _ := ctx.Value(whoKey{}).(string)
	return who
}

// Identify tells later handlers who has signed in, and lets everybody through.
func (k *Keeper) Identify(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if who, ok := k.Who(tokenOf(c.Request())); ok {
			r := c.Request()
			c.SetRequest(r.WithContext(context.WithValue(r.Context(), whoKey{}, who)))
		}
		return next(c)
	}
}

// RequireAnswer lets nobody through who has not signed in: ErrSignedOut.
func RequireAnswer(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if Who(c.Request().Context()) == "" {
			c.Response().Header().Set("WWW-Authenticate", "Bearer")
			return ErrSignedOut
		}
		return next(c)
	}
}

// RequirePage sends who has not signed in to the sign-in page.
func RequirePage(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if Who(c.Request().Context()) != "" {
			return next(c)
		}
		to := Path
		if r := c.Request(); r.Method == http.MethodGet && r.URL.Path != "/" {
			to += "?next=" + url.QueryEscape(r.URL.RequestURI())
		}
		return c.Redirect(http.StatusSeeOther, to)
	}
}

// tokenOf is the session token that a request brings: a bearer, else the cookie.
func tokenOf(r *http.Request) string {
	if scheme, token, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok && strings.EqualFold(scheme, "Bearer") {
		return strings.TrimSpace(token)
	}
	if c, err := r.Cookie(CookieName); err == nil {
		return c.Value
	}
	return ""
}
