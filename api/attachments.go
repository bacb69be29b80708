package api

import (
	"bytes"
	"context"
	"encoding/hex"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"

	"gaugerod/api/attach"
	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// AttachmentPath names one attachment in an address.
type AttachmentPath struct {
	Attachment string `path:"attachment" maxLength:"36" doc:"The attachment's ID."`
}

// AttachmentBody is something attached to a step, without what is in it.
type AttachmentBody struct {
	ID        string       `json:"id"`
	Step      scheduler.ID `json:"step" doc:"The step or hold point it belongs to."`
	Name      string       `json:"name" doc:"Of the file, made harmless."`
	Type      string       `json:"type" enum:"image/jpeg,image/png,image/webp,application/pdf" doc:"What its content shows that it is."`
	Size      int64        `json:"size" doc:"Bytes."`
	SHA256    string       `json:"sha256"`
	At        time.Time    `json:"at" doc:"When it was brought."`
	By        string       `json:"by" doc:"Who brought it."`
	RemovedAt *time.Time   `json:"removed_at,omitempty" doc:"When it was taken away; left out: it is there."`
	RemovedBy string       `json:"removed_by,omitempty" doc:"Who took it away."`
	File      string       `json:"file,omitempty" format:"uri-reference" doc:"Where it is to be had."`
}

// AttachmentsBody is what is attached, the newest first.
type AttachmentsBody struct {
	Attachments []AttachmentBody `json:"attachments" nullable:"false"`
}

// uploadTime is how long a file may take to arrive, over a slow line from a site.
const uploadTime = 2 * time.Minute

type attachInput struct {
	JobPath
	Step    scheduler.ID `query:"step" required:"true" minLength:"1" maxLength:"200" doc:"The step or hold point it belongs to."`
	Name    string       `query:"name" maxLength:"500" doc:"The file's name."`
	RawBody []byte       `contentType:"application/octet-stream"`
}

func (s *Server) attachmentRoutes() {
	file := map[string]*huma.MediaType{}
	for _, kind := range []string{"application/octet-stream", attach.JPEG, attach.PNG, attach.WebP, attach.PDF} {
		file[kind] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	}
	register(s, route{
		id: "attach", method: http.MethodPost, path: "/jobs/{job}/attachments",
		summary: "Attach a file to a step: a photograph, a drawing, a report. Sent again it is kept once",
		also: func(op *huma.Operation) {
			op.DefaultStatus = http.StatusCreated
			op.MaxBodyBytes, op.BodyReadTimeout = attach.MostBytes+1, uploadTime // it turns away what is as large as that
			op.RequestBody = &huma.RequestBody{Required: true, Content: file, Description: "The file as it is, 10 MiB at most. What type it is sent as makes no difference."}
		},
	}, s.attach)
	register(s, get("list-attachments", "/jobs/{job}/attachments", "What is attached to the job's steps"), s.listAttachments)
	register(s, route{
		id: "get-attachment", method: http.MethodGet, path: "/jobs/{job}/attachments/{attachment}", summary: "One attached file, as a download",
		also: func(op *huma.Operation) {
			op.Responses["200"] = &huma.Response{Description: "The file.", Content: file}
			op.Responses["304"] = &huma.Response{Description: "It is the one with the ETag that was sent."}
		},
	}, s.getAttachment)
	register(s, route{
		id: "remove-attachment", method: http.MethodDelete, path: "/jobs/{job}/attachments/{attachment}",
		summary: "Take an attachment away: the owner, or who brought it within a day. That it was there stays",
		also:    func(op *huma.Operation) { op.DefaultStatus = http.StatusNoContent },
	}, s.removeAttachment)
}

func (s *Server) attach(ctx context.Context, in *attachInput) (*struct{ Body AttachmentBody }, error) {
	sheet, err := s.office.Sheet(ctx, in.Job, nil)
	if err != nil {
		return nil, err
	}
	if _, known := sheet.Network.Find(in.Step); !known {
		return nil, notFound("step", in.Step)
	}
	a, err := s.box.Bring(ctx, in.Job, in.Step, in.Name, author(ctx), bytes.NewReader(in.RawBody))
	if err != nil {
		return nil, err
	}
	return &struct{ Body AttachmentBody }{showAttachment(in.Job, a)}, nil
}

func (s *Server) listAttachments(ctx context.Context, in *struct {
	JobPath
	Step scheduler.ID `query:"step" maxLength:"200" doc:"Only those of this step."`
},
) (*struct{ Body AttachmentsBody }, error) {
	all, err := s.box.List(ctx, in.Job, in.Step)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body AttachmentsBody }{AttachmentsBody{make([]AttachmentBody, 0, len(all))}}
	for _, a := range all {
		out.Body.Attachments = append(out.Body.Attachments, showAttachment(in.Job, a))
	}
	return out, nil
}

func (s *Server) getAttachment(ctx context.Context, in *struct {
	JobPath
	AttachmentPath
	IfNoneMatch string `header:"If-None-Match" doc:"An ETag seen before: 304 when nothing has changed since."`
},
) (*huma.StreamResponse, error) {
	a, content, err := s.box.Open(ctx, in.Job, in.Attachment)
	if err != nil {
		return nil, err
	}
	if err := unchanged(in.IfNoneMatch, attach.Tag(a)); err != nil {
		return nil, err
	}
	return &huma.StreamResponse{Body: func(hc huma.Context) {
		w := humaecho.Unwrap(hc).Response()
		attach.Head(w.Header(), a)
		// Whoever asked may be gone; there is nobody to tell then.
		_, _ = w.Write(content)
	}}, nil
}

func (s *Server) removeAttachment(ctx context.Context, in *struct {
	JobPath
	AttachmentPath
},
) (*struct{}, error) {
	return nil, s.box.Remove(ctx, in.Job, in.Attachment, author(ctx), owns(ctx))
}

func showAttachment(job scheduler.ID, a db.Attachment) AttachmentBody {
	b := AttachmentBody{
		ID: a.ID.String(), Step: a.Step, Name: a.Name, Type: a.Kind, Size: a.Size, SHA256: hex.EncodeToString(a.Sum),
		At: a.At, By: a.By.Name, RemovedAt: a.RemovedAt, RemovedBy: a.RemovedBy,
	}
	if a.RemovedAt == nil {
		b.File = prefix + "/jobs/" + string(job) + "/attachments/" + b.ID
	}
	return b
}

// author is who asks, as what they bring is signed.
func author(ctx context.Context) db.Author { return signin.From(ctx).Author() }

// owns says whether who asks is the owner of the job asked about.
func owns(ctx context.Context) bool { return signin.From(ctx).Role == scheduler.Owner }
