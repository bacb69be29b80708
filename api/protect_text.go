package api

import (
	"net/http"
	"strings"
	"unicode/utf8"

	"github.com/labstack/echo/v4"
)

// readable turns away addresses and parameters that are no text: what is not UTF-8, or
// has a zero byte in it, names nothing here and cannot be kept in the database. Of
// headers only what is text is left.
func readable(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if !isText(r.URL.Path) {
			return problemOfStatus(http.StatusNotFound)
		}
		for name, values := range c.QueryParams() {
			if !isText(name) {
				return problemOfStatus(http.StatusBadRequest)
			}
			for _, v := range values {
				if !isText(v) {
					return problemOfStatus(http.StatusBadRequest)
				}
			}
		}
		for _, values := range r.Header {
			for k, v := range values {
				if !isText(v) {
					values[k] = strings.ReplaceAll(strings.ToValidUTF8(v, ""), "\x00", "")
				}
			}
		}
		return next(c)
	}
}

func isText(s string) bool { return utf8.ValidString(s) && !strings.Contains(s, "\x00") }
