package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// sent is the hidden fields of every form that changes a job: a name of its own, so
// that sending it twice does nothing twice, and the revision that its reader saw.
func sent(revision int64) template.HTML {
	const fields = `<input type="hidden" name="request" value="%s"><input type="hidden" name="seen" value="%d">`
	return template.HTML(fmt.Sprintf(fields, uuid.NewString(), revision)) //nolint:gosec // a UUID and a number need no escaping
}

// once is the hidden field of a form that makes a private link: a new secret, from which
// the link is made, so that the form sent twice makes one.
func once() template.HTML {
	return template.HTML(`<input type="hidden" name="once" value="` + signin.NewSecret() + `">`) //nolint:gosec // letters and digits need no escaping
}

// edit is how a form's change is asked for.
func (p *Pages) edit(c echo.Context, in *form) db.Edit {
	by := signin.From(c.Request().Context()).Author()
	by.Name = cmp.Or(by.Name, in.Value("by"), "somebody")
	e := db.Edit{By: by, About: in.About}
	if seen, err := strconv.ParseInt(c.FormValue("seen"), 10, 64); err == nil && seen > 0 {
		e.Seen = seen
	}
	if id, err := uuid.Parse(c.FormValue("request")); err == nil {
		e.Key, e.Print = "form "+id.String(), printOf(c)
	}
	return e
}

// printOf tells a sent form from any other sent under the same name.
func printOf(c echo.Context) string {
	params, err := c.FormParams()
	if err != nil {
		return ""
	}
	sum := sha256.Sum256([]byte(c.Request().URL.Path + "?" + params.Encode()))
	return hex.EncodeToString(sum[:])
}

// changedMeanwhile says what somebody else did to the thing that a form is about,
// since its reader saw it.
func (b *board) changedMeanwhile(l db.HistoryLine) string {
	var said []string
	for _, f := range b.changeLine(l).Fields {
		said = append(said, f.Name+": "+cmp.Or(f.Was, "nothing")+" → "+cmp.Or(f.Is, "nothing"))
	}
	what := b.who(scheduler.ID(l.Who)) + " has changed this meanwhile, in revision " + strconv.FormatInt(l.Revision, 10)
	if len(said) > 0 {
		what += ": " + strings.Join(said, ", ")
	}
	return what + ". What you typed is still here; if it holds, send it again."
}
