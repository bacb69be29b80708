package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"gaugerod/api/attach"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// attachedPart is what is attached to a step, with the form that attaches more.
type attachedPart struct {
	Files  []attachedFile
	Action string
	Wrong  string
	Kinds  string // what the form lets be chosen
	Brings bool   // whoever reads may attach something
}

type attachedFile struct {
	File    Part
	Detail  string
	At      Part
	By      string
	Removed string // who took it away, and when
	Remove  string // where a form takes it away, empty: not for this reader
}

// attached is what is attached to a step, nil where nothing can be.
func (p *Pages) attached(c echo.Context, b *board, s *scheduler.PlannedStep, wrong string) (*attachedPart, error) {
	if p.box == nil {
		return nil, nil
	}
	all, err := p.box.List(c.Request().Context(), b.Job.ID, s.ID)
	if err != nil {
		return nil, err
	}
	visitor := signin.From(c.Request().Context())
	part := &attachedPart{
		Action: b.base + "/steps/" + string(s.ID) + "/attach", Wrong: wrong, Kinds: attach.JPEG + "," + attach.PNG + "," + attach.WebP + "," + attach.PDF,
		Brings: visitor.Role != scheduler.Reader,
	}
	for _, a := range all {
		f := attachedFile{File: Part{Text: a.Name}, Detail: attachedDetail(a), At: b.at(a.At).is(recordedDay), By: a.By.Name}
		if a.RemovedAt != nil {
			f.Removed = "taken away by " + a.RemovedBy + ", " + b.at(*a.RemovedAt).Text
		} else {
			f.File.Href = b.base + "/attachments/" + a.ID.String()
		}
		if p.box.Removes(a, visitor.Author(), visitor.Role == scheduler.Owner) {
			f.Remove = f.File.Href + "/remove"
		}
		part.Files = append(part.Files, f)
	}
	return part, nil
}

var attachedKinds = map[string]string{attach.JPEG: "photograph", attach.PNG: "picture", attach.WebP: "picture", attach.PDF: "PDF"}

func attachedDetail(a db.Attachment) string {
	return fmt.Sprintf("%s, %d kB", attachedKinds[a.Kind], (a.Size+999)/1000)
}

// attach takes the file of the form.
func (p *Pages) attach(c echo.Context) error {
	b, s, err := p.boardAndStep(c)
	if err != nil || p.box == nil {
		return errors.Join(err, p.noBox())
	}
	name, file, err := sentFile(c.Request())
	if err == nil {
		visitor := signin.From(c.Request().Context())
		_, err = p.box.Bring(c.Request().Context(), b.Job.ID, s.ID, name, visitor.Author(), file)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, b.base+"/steps/"+string(s.ID)+"#attached")
	}
	at := slices.IndexFunc(attachErrors, func(of error) bool { return errors.Is(err, of) })
	if at < 0 {
		return err
	}
	pg := newStepPage(b, s, b.stepForms(s))
	if pg.Attached, err = p.attached(c, b, s, upper(attachErrors[at].Error())+"."); err != nil {
		return err
	}
	return p.render(c, http.StatusUnprocessableEntity, pg)
}

// errNoFile is the answer to a form without a file in it.
var errNoFile = errors.New("choose a file")

// attachErrors are those whose words are for whoever sent the form.
var attachErrors = []error{errNoFile, attach.ErrTooLarge, attach.ErrEmpty, attach.ErrBroken, attach.ErrKind, db.ErrShelfFull}

// sentFile is the first file of a form in parts, and its name.
func sentFile(r *http.Request) (name string, file io.Reader, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return "", nil, errNoFile
	}
	for {
		part, err := parts.NextPart()
		if err != nil {
			return "", nil, errNoFile
		}
		if part.FormName() == "file" && part.FileName() != "" {
			return part.FileName(), part, nil
		}
	}
}

// attachment gives a file out as a download.
func (p *Pages) attachment(c echo.Context) error {
	if p.box == nil {
		return p.noBox()
	}
	a, content, err := p.box.Open(c.Request().Context(), scheduler.ID(c.Param("job")), c.Param("attachment"))
	if err != nil {
		return err
	}
	attach.Head(c.Response().Header(), a)
	return c.Blob(http.StatusOK, a.Kind, content)
}

// removeAttachment takes one away, and leads back to its step.
func (p *Pages) removeAttachment(c echo.Context) error {
	if p.box == nil {
		return p.noBox()
	}
	ctx, job, id := c.Request().Context(), scheduler.ID(c.Param("job")), c.Param("attachment")
	a, _, err := p.box.Open(ctx, job, id)
	if err != nil {
		return err
	}
	visitor := signin.From(ctx)
	if err := p.box.Remove(ctx, job, id, visitor.Author(), visitor.Role == scheduler.Owner); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/jobs/"+string(job)+"/steps/"+string(a.Step)+"#attached")
}

// noBox is the answer where nothing can be attached.
func (p *Pages) noBox() error {
	if p.box != nil {
		return nil
	}
	return fmt.Errorf("attachments: %w", scheduler.ErrNotFound)
}
