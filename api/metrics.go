package api

import (
	"context"
	"errors"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"github.com/rs/zerolog"

	"gaugerod/db"
)

// Figures is what the metrics ask of the database; *db.Store is one.
type Figures interface {
	Pool() db.PoolFigures
	Lag(ctx context.Context) (db.Lag, error)
}

// Metrics are the figures of one running service, in a registry of their own. What
// they are labelled with comes from lists in the program: never a person, a job, an
// address or anything else that was sent.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec
	limited  *prometheus.CounterVec
	plans    *prometheus.HistogramVec
	streams  prometheus.Gauge
}

// requestBuckets are seconds. Reads are to take less than 50 ms.
var requestBuckets = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 30, 120}

// planBuckets are seconds. A plan after a change is to be there within one.
var planBuckets = []float64{.005, .01, .025, .05, .1, .25, .5, 1, 2, 5, 10, 30, 60, 120}

// NewMetrics makes figures that all begin at nought.
func NewMetrics(of Figures, log zerolog.Logger) *Metrics {
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "gaugerod_request_seconds", Help: "Time to answer a request. Event streams count when they end.", Buckets: requestBuckets,
		}, []string{"method", "route", "status"}),
		limited: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "gaugerod_requests_limited_total", Help: "Requests turned away because there were too many, by route.",
		}, []string{"route"}),
		plans: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "gaugerod_plan_seconds", Help: "Time to make a plan, by whether it is proven the best.", Buckets: planBuckets,
		}, []string{"proven"}),
		streams: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "gaugerod_event_streams", Help: "Event streams that are open.",
		}),
	}
	m.registry.MustRegister(m.requests, m.limited, m.plans, m.streams, newStanding(of, log),
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Planned counts a plan that was made, and how long that took.
func (m *Metrics) Planned(took time.Duration, proven bool) {
	word := "no"
	if proven {
		word = "yes"
	}
	m.plans.WithLabelValues(word).Observe(took.Seconds())
}

// answered counts an answer. A server without metrics counts nothing.
func (m *Metrics) answered(c echo.Context, took time.Duration) {
	if m == nil {
		return
	}
	m.requests.WithLabelValues(methodOf(c.Request()), routeOf(c), statusClass(c.Response().Status)).Observe(took.Seconds())
}

// turnedAway counts a request that came too soon after too many.
func (m *Metrics) turnedAway(c echo.Context) {
	if m != nil {
		m.limited.WithLabelValues(routeOf(c)).Inc()
	}
}

// stream counts an event stream until the returned function is called.
func (m *Metrics) stream() (ended func()) {
	if m == nil {
		return func() {}
	}
	m.streams.Inc()
	return m.streams.Dec
}

var knownMethods = append([]string{http.MethodHead, http.MethodOptions}, methods...)

// methodOf is the method, where it is one that there is: anybody can make up others.
func methodOf(r *http.Request) string {
	if slices.Contains(knownMethods, r.Method) {
		return r.Method
	}
	return "other"
}

// routeOf is the route as it was declared. What matches none is all one.
func routeOf(c echo.Context) string {
	if path := c.Path(); path != "" {
		return path
	}
	return "none"
}

func statusClass(status int) string {
	switch {
	case status >= 100 && status < 600:
		return string(rune('0'+status/100)) + "xx"
	default:
		return "other"
	}
}

// metricsPath is the one address of the metrics' own listener.
const metricsPath = "/metrics"

// Handler answers with the figures as Prometheus reads them.
func (m *Metrics) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET "+metricsPath, promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4, Timeout: 10 * time.Second}))
	return mux
}

// Serve answers on a listener of its own until ctx ends: who may read the figures
// is decided by where it listens.
func (m *Metrics) Serve(ctx context.Context, listener net.Listener, log zerolog.Logger) error {
	hs := usual.listens(m.Handler(), log)
	stopped := context.AfterFunc(ctx, func() { hs.Close() })
	defer stopped()
	if err := hs.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// isStream says whether a route is one of the event streams.
func isStream(c echo.Context) bool { return strings.HasSuffix(c.Path(), eventsPath) }

// eventsPath ends every route of an event stream.
const eventsPath = "/events"
