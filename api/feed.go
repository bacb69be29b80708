package api

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// feedPath is where calendar programs find a trade's windows. They have no cookies:
// the secret in the address opens this calendar and nothing else, and a trade's link
// that is revoked or lapses takes it along.
const feedPath = "/calendar/:file"

func (s *Server) feed() { s.echo.GET(feedPath, s.serveFeed) }

func (s *Server) serveFeed(c echo.Context) error {
	secret, ok := strings.CutSuffix(c.Param("file"), ".ics")
	if !ok || secret == "" {
		return echo.ErrNotFound
	}
	ctx := c.Request().Context()
	link, err := s.keeper.OfCalendar(ctx, secret)
	if err != nil {
		return err
	}
	sheet, err := s.office.Sheet(ctx, link.Job, nil)
	if err != nil {
		return err
	}
	trade, err := findTrade(sheet.Job, link.Trade)
	if err != nil {
		return err
	}
	h, etag := c.Response().Header(), planTag(sheet.Revision, sheet.AsOf, sheet.Take)
	h.Set("ETag", etag)
	h.Set("Cache-Control", revalidate)
	h.Set("Referrer-Policy", "no-referrer")
	if unchanged(c.Request().Header.Get("If-None-Match"), etag) != nil {
		return c.NoContent(http.StatusNotModified)
	}
	text, err := s.calendar(ctx, sheet, trade)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, calendarType, text)
}
