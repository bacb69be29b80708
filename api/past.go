package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler/jobfile"
)

// RevisionLine is one change of a job as a whole.
type RevisionLine struct {
	Revision int64     `json:"revision"`
	At       time.Time `json:"at"`
	Who      string    `json:"who"`
	Undoes   *int64    `json:"undoes,omitempty" doc:"The revision that this one undid."`
	UndoneBy *int64    `json:"undone_by,omitempty" doc:"The revision that undid this one and still stands."`
	Note     string    `json:"note,omitempty" doc:"What the change was as a whole, in words, where that is known: an adopted trial."`
}

// RevisionsBody is the newest changes of a job, the newest first.
type RevisionsBody struct {
	Revisions []RevisionLine `json:"revisions" nullable:"false"`
}

// UndoBody says which change to take back.
type UndoBody struct {
	Revision int64 `json:"revision,omitempty" minimum:"0" doc:"The revision to undo; left out: the newest that is not undone. An undoing can be undone by its number."`
}

func (s *Server) revisionRoutes() {
	register(s, get("list-revisions", "/jobs/{job}/revisions", "The changes of a job as wholes: who made them when, and what was undone"), s.listRevisions)
	register(s, route{
		id: "get-past-file", method: http.MethodGet, path: "/jobs/{job}/revisions/{revision}/file",
		summary: "The whole job as it was at a revision, as a job file", also: answersFile,
	}, s.getPastFile)
	register(s, route{
		id: "undo", method: http.MethodPost, path: "/jobs/{job}/undo",
		summary: "Take one change back, as a change of its own; refused where later changes rest on it",
	}, s.undo)
}

// answersFile has the document say that the answer is a job file.
func answersFile(op *huma.Operation) {
	op.Responses["200"] = &huma.Response{Description: "The job file.", Content: map[string]*huma.MediaType{yamlType: {Schema: jobFileSchema}}}
}

func (s *Server) listRevisions(ctx context.Context, in *struct {
	JobPath
	PageQuery
},
) (*struct{ Body RevisionsBody }, error) {
	all, err := s.office.Revisions(ctx, in.Job, in.Before, in.Limit)
	if err != nil {
		return nil, err
	}
	out := &struct{ Body RevisionsBody }{RevisionsBody{Revisions: make([]RevisionLine, 0, len(all))}}
	for _, r := range all {
		out.Body.Revisions = append(out.Body.Revisions, RevisionLine{Revision: r.Number, At: r.At, Who: r.Who, Undoes: r.Undoes, UndoneBy: r.UndoneBy, Note: r.Note})
	}
	return out, nil
}

func (s *Server) getPastFile(ctx context.Context, in *struct {
	JobPath
	Revision int64 `path:"revision" minimum:"1"`
},
) (*fileAnswer, error) {
	job, err := s.office.JobAt(ctx, in.Job, in.Revision)
	if err != nil {
		return nil, err
	}
	text, err := jobfile.Write(job)
	if err != nil {
		return nil, err
	}
	return &fileAnswer{ETag: tag(in.Revision), CacheControl: revalidate, ContentType: yamlType, Body: text}, nil
}

func (s *Server) undo(ctx context.Context, in *struct {
	Change
	Body UndoBody
},
) (*Changed, error) {
	return s.edited(ctx, in.Change, func(e db.Edit) (int64, error) {
		return s.office.Undo(ctx, in.Job, in.Body.Revision, !signin.From(ctx).Owns(), e)
	})
}
