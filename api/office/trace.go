package office

import (
	"context"

	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/trace"
)

// within is the office's own context as part of what ctx is traced as: plans outlive the
// request that they are made for, and are told with it.
func (o *Office) within(ctx context.Context) context.Context {
	return trace.ContextWithSpan(o.ctx, trace.SpanFromContext(ctx))
}

// planning begins the span of a planning, where what asks for it is traced. It tells how
// large the job is, and neither its name nor what went wrong in words.
func planning(ctx context.Context, s *shelf) (_ context.Context, end func(error)) {
	above := trace.SpanFromContext(ctx)
	if !above.SpanContext().IsSampled() { // it may have ended meanwhile
		return ctx, func(error) {}
	}
	ctx, span := above.TracerProvider().Tracer("gaugerod/office").Start(ctx, "plan", trace.WithAttributes(
		attribute.Int("gaugerod.steps", len(s.network.Steps)), attribute.Int64("gaugerod.revision", s.revision)))
	return ctx, func(err error) {
		if err != nil {
			span.SetStatus(codes.Error, "")
		}
		span.End()
	}
}
