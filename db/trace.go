package db

import (
	"context"
	"errors"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/trace"
)

// tracer puts a span around each statement whose context is being traced; where none
// is, it does nothing. A span holds the statement as it stands in the program, whose
// values all go separately: none of them is in it.
type tracer struct{}

var (
	_ pgx.QueryTracer = tracer{}
	_ pgx.BatchTracer = tracer{}
)

// longestStatement is how much of a statement is kept, in bytes.
const longestStatement = 500

func begin(ctx context.Context, name, statement string) context.Context {
	above := trace.SpanFromContext(ctx)
	if !above.IsRecording() {
		return ctx
	}
	ctx, _ = above.TracerProvider().Tracer("gaugerod/db").Start(ctx, name, trace.WithSpanKind(trace.SpanKindClient),
		trace.WithAttributes(attribute.String("db.system.name", "postgresql"), attribute.String("db.query.text", statement)))
	return context.WithValue(ctx, tracedKey{}, true)
}

// tracedKey marks a context whose span is of this tracer, to be ended by it.
type tracedKey struct{}

func end(ctx context.Context, err error) {
	if ctx.Value(tracedKey{}) == nil {
		return
	}
	span := trace.SpanFromContext(ctx)
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		// Of an error only its code: its words may quote values.
		code := "error"
		if refused, ok := errors.AsType[*pgconn.PgError](err); ok {
			code = refused.Code
		}
		span.SetStatus(codes.Error, code)
	}
	span.End()
}

// brief is a statement on one line, cut short, and the word it begins with.
func brief(sql string) (verb, statement string) {
	words := strings.Fields(sql)
	if len(words) == 0 {
		return "statement", ""
	}
	statement = strings.Join(words, " ")
	return words[0], strings.ToValidUTF8(statement[:min(len(statement), longestStatement)], "")
}

func (tracer) TraceQueryStart(ctx context.Context, _ *pgx.Conn, data pgx.TraceQueryStartData) context.Context {
	if !trace.SpanFromContext(ctx).IsRecording() {
		return ctx
	}
	verb, statement := brief(data.SQL)
	return begin(ctx, verb, statement)
}

func (tracer) TraceQueryEnd(ctx context.Context, _ *pgx.Conn, data pgx.TraceQueryEndData) {
	end(ctx, data.Err)
}

func (tracer) TraceBatchStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceBatchStartData) context.Context {
	return begin(ctx, "batch", "")
}

func (tracer) TraceBatchQuery(context.Context, *pgx.Conn, pgx.TraceBatchQueryData) {}

func (tracer) TraceBatchEnd(ctx context.Context, _ *pgx.Conn, data pgx.TraceBatchEndData) {
	end(ctx, data.Err)
}
