package api

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/sdk/resource"
	sdk "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"
)

// traceScope is what the spans say made them.
const traceScope = "gaugerod"

// Traces sends what requests spend their time on to where the OpenTelemetry settings
// say. Spans hold routes as declared, statements with no values, and statuses: no
// address as sent, no parameters, nobody's name. Nil sends nothing and costs nothing.
type Traces struct {
	provider *sdk.TracerProvider
	tracer   trace.Tracer
}

// NewTraces reads the standard settings (OTEL_EXPORTER_OTLP_ENDPOINT and its like)
// from the environment and is nil where they ask for no traces.
func NewTraces(ctx context.Context, log zerolog.Logger) (*Traces, error) {
	set := func(name string) bool { return os.Getenv(name) != "" }
	switch {
	case !set("OTEL_EXPORTER_OTLP_ENDPOINT") && !set("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT"),
		strings.EqualFold(os.Getenv("OTEL_SDK_DISABLED"), "true"),
		strings.EqualFold(os.Getenv("OTEL_TRACES_EXPORTER"), "none"):
		return nil, nil
	}
	exporter, err := otlptracehttp.New(ctx)
	if err != nil {
		return nil, fmt.Errorf("traces: %w", err)
	}
	what, err := resource.New(ctx, resource.WithAttributes(attribute.String("service.name", traceScope)), resource.WithFromEnv())
	if err != nil {
		return nil, fmt.Errorf("traces: OTEL_RESOURCE_ATTRIBUTES: %w", err)
	}
	provider := sdk.NewTracerProvider(sdk.WithBatcher(telling{exporter, log}), sdk.WithResource(what))
	return &Traces{provider: provider, tracer: provider.Tracer(traceScope)}, nil
}

// Close sends what is left, as far as time allows.
func (t *Traces) Close(ctx context.Context) error {
	if t == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
	defer cancel()
	return t.provider.Shutdown(ctx)
}

// telling has the log tell when traces cannot be sent. That is no reason to fail.
type telling struct {
	sdk.SpanExporter
	log zerolog.Logger
}

func (t telling) ExportSpans(ctx context.Context, spans []sdk.ReadOnlySpan) error {
	if err := t.SpanExporter.ExportSpans(ctx, spans); err != nil && ctx.Err() == nil {
		t.log.Warn().Err(err).Int("spans", len(spans)).Msg("traces could not be sent")
	}
	return nil
}

// traced is a span around every request. What a client says of a trace that it is
// part of is believed of proxies alone: others could have everything traced.
func (s *Server) traced(next echo.HandlerFunc) echo.HandlerFunc {
	if s.traces == nil {
		return next
	}
	return func(c echo.Context) error {
		r := c.Request()
		ctx := r.Context()
		if s.proxies.sent(r) {
			ctx = propagation.TraceContext{}.Extract(ctx, propagation.HeaderCarrier(r.Header))
		}
		ctx, span := s.traces.tracer.Start(ctx, methodOf(r)+" "+routeOf(c), trace.WithSpanKind(trace.SpanKindServer))
		defer span.End()
		c.SetRequest(r.WithContext(ctx))
		err := next(c)
		status := c.Response().Status
		span.SetAttributes(
			attribute.String("http.request.method", methodOf(r)), attribute.String("http.route", routeOf(c)),
			attribute.Int("http.response.status_code", status),
			attribute.String("gaugerod.request", c.Response().Header().Get(requestIDHeader)),
		)
		if status >= http.StatusInternalServerError {
			span.SetStatus(codes.Error, "")
		}
		return err
	}
}
