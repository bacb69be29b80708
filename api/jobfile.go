package api

import (
	"context"
	"fmt"
	"mime"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"gaugerod/db"
	"gaugerod/scheduler"
	"gaugerod/scheduler/jobfile"
)

// yamlType is what a job file is sent as (RFC 9512).
const yamlType = "application/yaml"

// jobFileSchema stands for the file in the document; `gaugerod schema` has the
// schema of what is in it.
var jobFileSchema = &huma.Schema{Type: huma.TypeObject, AdditionalProperties: true, Description: "A job file (*.job.yaml)."}

type fileAnswer struct {
	ETag         string `header:"ETag"`
	CacheControl string `header:"Cache-Control"`
	ContentType  string `header:"Content-Type"`
	Body         []byte
}

type fileInput struct {
	Change
	RawBody []byte `contentType:"application/yaml"`
}

// Resolve turns away a body that says it is something else than YAML.
func (fileInput) Resolve(ctx huma.Context) []error {
	sent := ctx.Header("Content-Type")
	switch kind, _, err := mime.ParseMediaType(sent); {
	case sent == "":
		return nil
	case err == nil && kind == yamlType:
		return nil
	}
	return []error{problemOfStatus(http.StatusUnsupportedMediaType)}
}

func (s *Server) jobFileRoutes() {
	register(s, route{
		id: "get-job-file", method: http.MethodGet, path: "/jobs/{job}/file", summary: "The whole job as a job file",
		also: answersFile,
	}, s.getJobFile)
	register(s, route{
		id: "put-job-file", method: http.MethodPut, path: "/jobs/{job}/file",
		summary: "Keep a whole job, new or in place of the one there",
		also: func(op *huma.Operation) {
			op.MaxBodyBytes = maxJobFile
			op.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{yamlType: {Schema: jobFileSchema}}}
		},
	}, s.putJobFile)
}

func (s *Server) getJobFile(ctx context.Context, in *JobQuery) (*fileAnswer, error) {
	a, err := answerJob(ctx, s, in, func(j *scheduler.Job, _ Standing) ([]byte, error) { return jobfile.Write(j) })
	if err != nil {
		return nil, err
	}
	return &fileAnswer{ETag: a.ETag, CacheControl: a.CacheControl, ContentType: yamlType, Body: a.Body}, nil
}

func (s *Server) putJobFile(ctx context.Context, in *fileInput) (*Changed, error) {
	job, err := jobfile.Read("", in.RawBody)
	if err != nil {
		return nil, err
	}
	if job.ID != in.Job {
		return nil, &scheduler.Refusal{
			Kind: scheduler.ErrImpossible, Field: "job", What: fmt.Sprintf("the file is of the job %q and the address of %q", job.ID, in.Job),
			Mend: "send it to the address of its own job",
		}
	}
	if in.IfMatch == "*" { // whichever there is, but one there must be
		return s.commit(ctx, in.Change, func(j *scheduler.Job) error { *j = *job; return nil })
	}
	return s.edited(ctx, in.Change, func(e db.Edit) (int64, error) { return s.office.Put(ctx, job, e) })
}
