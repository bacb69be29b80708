package api

import (
	"context"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/rs/zerolog"

	"gaugerod/db"
)

// standing collects how the database stands when the figures are asked for.
type standing struct {
	of  Figures
	log zerolog.Logger
}

// figuresTimeout is how long the database may take to answer for the figures.
const figuresTimeout = 2 * time.Second

func newStanding(of Figures, log zerolog.Logger) standing { return standing{of, log} }

func describe(name, help string) *prometheus.Desc { return prometheus.NewDesc(name, help, nil, nil) }

var (
	databaseUp = describe("gaugerod_database_up", "Whether the database answered just now: 1 or 0.")

	poolOpen    = describe("gaugerod_database_connections_open", "Connections to the database.")
	poolBusy    = describe("gaugerod_database_connections_busy", "Connections in use.")
	poolIdle    = describe("gaugerod_database_connections_idle", "Connections not in use.")
	poolMost    = describe("gaugerod_database_connections_most", "Most connections that may be open.")
	poolTaken   = describe("gaugerod_database_connections_taken_total", "How often a connection was had.")
	poolWaited  = describe("gaugerod_database_connections_waited_total", "How often a connection had to be waited for.")
	poolGaveUp  = describe("gaugerod_database_connections_given_up_total", "How often waiting for a connection was given up.")
	poolWaiting = describe("gaugerod_database_connections_waited_seconds_total", "Time spent waiting for connections.")

	jobsThere     = describe("gaugerod_jobs", "Jobs in the database.")
	jobsUnplanned = describe("gaugerod_jobs_unplanned", "Jobs whose newest revision has no plan yet.")
	lagRevisions  = describe("gaugerod_plan_lag_revisions", "Revisions since the last planned one, of the job furthest behind.")
	queueWaiting  = describe("gaugerod_heavy_work_waiting", "Long searches and comparisons that wait in the queue.")
	queueRunning  = describe("gaugerod_heavy_work_running", "Long searches and comparisons that are being done, on all instances.")
	lagAge        = describe("gaugerod_plan_lag_seconds", "Time since the last change of the job that has waited longest for its plan.")
)

// Describe is of prometheus.Collector.
func (s standing) Describe(out chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{
		databaseUp, poolOpen, poolBusy, poolIdle, poolMost, poolTaken, poolWaited, poolGaveUp, poolWaiting,
		jobsThere, jobsUnplanned, lagRevisions, lagAge, queueWaiting, queueRunning,
	} {
		out <- d
	}
}

// Collect is of prometheus.Collector. A database that does not answer is a figure
// too: all others still come.
func (s standing) Collect(out chan<- prometheus.Metric) {
	gauge := func(d *prometheus.Desc, v float64) { out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v) }
	count := func(d *prometheus.Desc, v float64) {
		out <- prometheus.MustNewConstMetric(d, prometheus.CounterValue, v)
	}
	s.pool(s.of.Pool(), gauge, count)

	ctx, cancel := context.WithTimeout(context.Background(), figuresTimeout)
	defer cancel()
	lag, err := s.of.Lag(ctx)
	if err != nil {
		s.log.Warn().Err(err).Msg("the database does not answer for the metrics")
		gauge(databaseUp, 0)
		return
	}
	gauge(databaseUp, 1)
	gauge(jobsThere, float64(lag.Jobs))
	gauge(jobsUnplanned, float64(lag.Unplanned))
	gauge(lagRevisions, float64(lag.Revisions))
	gauge(lagAge, lag.Age.Seconds())
	gauge(queueWaiting, float64(lag.Waiting))
	gauge(queueRunning, float64(lag.Running))
}

func (standing) pool(p db.PoolFigures, gauge, count func(*prometheus.Desc, float64)) {
	gauge(poolOpen, float64(p.Open))
	gauge(poolBusy, float64(p.Busy))
	gauge(poolIdle, float64(p.Idle))
	gauge(poolMost, float64(p.Most))
	count(poolTaken, float64(p.Taken))
	count(poolWaited, float64(p.Waited))
	count(poolGaveUp, float64(p.GaveUp))
	count(poolWaiting, p.Waiting.Seconds())
}
