package signin

import (
	_ "embed"
	"html/template"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

//go:embed signin.html
var pageText string

var page = template.Must(template.New("sign-in").Parse(pageText))

// Owner is who a printed link lets in, whoever sits at the machine: the name in
// the history of what they change.
const Owner = "owner"

// Routes adds the sign-in page, the link that opens a session, and signing out.
func (k *Keeper) Routes(e *echo.Echo) {
	e.GET(Path, k.visit)
	e.POST("/sign-out", k.leave)
}

// visit opens a session when the address holds a secret, and leads on so that the
// secret leaves the address bar and the history. Without one it says where the
// link is to be found.
func (k *Keeper) visit(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "no-store")
	next := localPath(c.QueryParam("next"))
	secret := c.QueryParam("secret")
	if secret == "" {
		if Who(c.Request().Context()) != "" {
			return c.Redirect(http.StatusSeeOther, next)
		}
		return k.show(c, http.StatusOK, false)
	}
	token, err := k.Open(secret, Owner)
	if err != nil {
		if Who(c.Request().Context()) != "" {
			return c.Redirect(http.StatusSeeOther, next) // the link opened twice in one browser
		}
		return k.show(c, http.StatusForbidden, true)
	}
	c.SetCookie(k.cookie(c, token, int(sessionLife.Seconds())))
	return c.Redirect(http.StatusSeeOther, next)
}

func (k *Keeper) leave(c echo.Context) error {
	k.End(tokenOf(c.Request()))
	c.SetCookie(k.cookie(c, "", -1))
	return c.Redirect(http.StatusSeeOther, Path)
}

func (k *Keeper) cookie(c echo.Context, value string, maxAge int) *http.Cookie {
	return &http.Cookie{ //nolint:gosec // on this machine it speaks plain HTTP, where a Secure cookie is not sent
		Name: CookieName, Value: value, Path: "/", MaxAge: maxAge,
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: k.Secure || c.Request().TLS != nil,
	}
}

func (k *Keeper) show(c echo.Context, status int, spent bool) error {
	var b strings.Builder
	if err := page.Execute(&b, struct {
		Style string
		Spent bool
	}{k.Style, spent}); err != nil {
		return err
	}
	return c.HTML(status, b.String())
}

// localPath is a path of this service to lead on to, never another's address.
func localPath(p string) string {
	if !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsAny(p, "\\\r\n") {
		return "/"
	}
	return p
}
