package web

import (
	"net/url"
	"reflect"

	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
)

// Me is who reads the page.
type Me struct {
	Name   string
	You    string // the page of one's own account, empty for a trade's link
	People string // the page of who has which role on the job, empty on pages of no job
}

// withMe is where a page lies in whose frame stands who reads it, where somebody has
// signed in.
func withMe(c echo.Context, pg page) any {
	filled := reflect.New(reflect.TypeOf(pg)) // a copy, so that its frame can be filled
	filled.Elem().Set(reflect.ValueOf(pg))
	v := signin.From(c.Request().Context())
	if v.Nobody() {
		return filled.Interface()
	}
	me := Me{Name: v.Name}
	if v.Link == nil {
		me.You = "/you"
		if job := c.Param("job"); job != "" && v.Role != "" {
			me.People = "/jobs/" + job + "/people"
			if day := c.QueryParam("as-of"); day != "" {
				me.People += "?as-of=" + url.QueryEscape(day)
			}
		}
	}
	if frame := filled.Elem().FieldByName("Frame"); frame.IsValid() {
		frame.FieldByName("Me").Set(reflect.ValueOf(&me))
	}
	return filled.Interface()
}
