package main

import (
	"context"
	"fmt"

	"github.com/rs/zerolog"

	"gaugerod/api"
	"gaugerod/api/office"
)

// outlook is how a running service is seen from outside. Metrics and traces are nil
// where nobody asked for them.
type outlook struct {
	metrics *api.Metrics
	traces  *api.Traces
	ended   chan struct{} // closed when the metrics are answered no more
	stop    context.CancelFunc
}

// observe opens what of it was asked for. Close it after the service has stopped.
func (c *serveCommand) observe(ctx context.Context, d *database, log zerolog.Logger) (*outlook, error) {
	o := &outlook{ended: make(chan struct{}), stop: func() {}}
	var err error
	if o.traces, err = api.NewTraces(ctx, log); err != nil {
		return nil, err
	}
	if c.Metrics == "" {
		close(o.ended)
		return o, nil
	}
	listener, err := api.Listen(ctx, c.Metrics)
	if err != nil {
		return nil, fmt.Errorf("cannot listen on %s; choose another with --metrics: %w", c.Metrics, err)
	}
	o.metrics = api.NewMetrics(d.Store, log)
	ctx, o.stop = context.WithCancel(ctx)
	log.Info().Str("address", listener.Addr().String()).Msg("answering with metrics")
	go func() {
		defer close(o.ended)
		if err := o.metrics.Serve(ctx, listener, log); err != nil {
			log.Error().Err(err).Msg("the metrics are answered no more")
		}
	}()
	return o, nil
}

// planned is what the office needs to count plans.
func (o *outlook) planned() []office.Option {
	if o.metrics == nil {
		return nil
	}
	return []office.Option{office.WithPlanned(o.metrics.Planned)}
}

func (o *outlook) close(ctx context.Context, log zerolog.Logger) {
	o.stop()
	<-o.ended
	if err := o.traces.Close(ctx); err != nil {
		log.Warn().Err(err).Msg("the last traces were not sent")
	}
}
