package api

import (
	"context"
	"errors"
	stdlog "log"
	"net"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"

	"gaugerod/api/attach"
	"gaugerod/api/office"
	"gaugerod/api/people"
	"gaugerod/api/rights"
	"gaugerod/api/signin"
)

// Config is what whoever runs the service may set.
type Config struct {
	Origins []string // other origins whose pages may send changes, for instance https://site.example
	Proxies []string // networks (CIDR) whose X-Forwarded-For is believed; empty: nobody's
	HTTPS   bool     // people reach it over TLS, which a proxy may end
}

// Pinger says whether the database answers; *db.Store is one.
type Pinger interface {
	Ping(ctx context.Context) error
}

// Parts is what a server is put together from. Pages and ErrorPage may be nil.
type Parts struct {
	Database Pinger
	Office   *office.Office
	Box      *attach.Box // nil: nothing can be attached
	Keeper   *signin.Keeper
	People   *people.Desk
	Log      zerolog.Logger
	Now      func() time.Time // nil: the machine's clock
	Config   Config
	Metrics  *Metrics // nil: nothing is counted
	Traces   *Traces  // nil: nothing is traced

	// Pages adds the pages. Who may see which is in the table of rights; who asks,
	// signin.From tells.
	Pages func(e *echo.Echo) error
	// PageRights stands for rights.Pages, where the pages are others.
	PageRights rights.Table
	// ErrorPage answers a problem outside /api as a page.
	ErrorPage func(c echo.Context, p *Problem) error
}

// Limits of a request. Bodies of pages and of the API are small; a job file may
// be larger.
const (
	maxBody    = 1 << 20
	maxJobFile = 8 << 20
	maxHeader  = 32 << 10

	stopTimeout = 10 * time.Second
	askAgain    = 15 * time.Second // whether who follows live events still may
)

// patience is how long the parts of a request may take.
type patience struct {
	header, read, write, idle time.Duration
}

var usual = patience{
	header: 5 * time.Second,
	read:   30 * time.Second,
	write:  150 * time.Second, // longer than a plan may take
	idle:   2 * time.Minute,
}

// listens is an HTTP server with these limits.
func (p patience) listens(handler http.Handler, log zerolog.Logger) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: p.header, ReadTimeout: p.read, WriteTimeout: p.write, IdleTimeout: p.idle,
		MaxHeaderBytes: maxHeader, ErrorLog: stdlog.New(nameless{log}, "", 0),
	}
}

// Server answers everything over HTTP.
type Server struct {
	database  Pinger
	office    *office.Office
	box       *attach.Box
	keeper    *signin.Keeper
	people    *people.Desk
	guard     *rights.Guard
	log       zerolog.Logger
	errorPage func(echo.Context, *Problem) error
	metrics   *Metrics
	traces    *Traces
	limiter   *limiter
	limited   map[string]map[string]limitedRoute
	streams   openStreams
	proxies   proxies
	https     bool
	patience  patience
	echo      *echo.Echo
	api       huma.API
	stopping  chan struct{} // closed when event streams have to end
}

// New puts a server together. It does not listen yet.
func New(p Parts) (*Server, error) {
	if p.Now == nil {
		p.Now = time.Now
	}
	s := &Server{
		database: p.Database, office: p.Office, box: p.Box, keeper: p.Keeper, people: p.People, log: p.Log,
		errorPage: p.ErrorPage, metrics: p.Metrics, traces: p.Traces,
		limiter: newLimiter(p.Now, mostLimited), limited: limitedAt(), streams: openStreams{of: make(map[string]int)}, https: p.Config.HTTPS, patience: usual, stopping: make(chan struct{}),
	}
	var err error
	if s.proxies, err = readProxies(p.Config.Proxies); err != nil {
		return nil, err
	}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = s.proxies.whereFrom() // what a client says of where it comes from is not believed
	e.HTTPErrorHandler = s.fail
	crossOrigin, err := s.crossOrigin(p.Config.Origins)
	if err != nil {
		return nil, err
	}
	s.guard = &rights.Guard{Table: rights.Service.And(rights.API), Identify: p.Keeper.Identify, Reader: p.Keeper.IdentifyReader, API: prefix, Again: askAgain}
	e.Use(s.traced, s.requests, recovered, s.secureHeaders, readable, crossOrigin, s.limitBody, s.limits, s.guard.Enforce, s.limitStreams, takeBody, fingerprint)
	s.echo = e
	s.health()
	p.Keeper.Routes(e)
	s.feed()
	s.routes()
	if p.Pages != nil {
		pageRights := p.PageRights
		if pageRights == nil {
			pageRights = rights.Pages
		}
		s.guard.Table = s.guard.Table.And(pageRights)
		if err := p.Pages(e); err != nil {
			return nil, err
		}
	}
	if err := s.guard.Table.Check(e.Routes()); err != nil {
		return nil, err
	}
	return s, nil
}

// Handler is the server as a handler, for tests and for other listeners.
func (s *Server) Handler() http.Handler { return s.echo }

// Listen opens the address. Without a host it is this machine's alone: to be
// reached from elsewhere, a host has to be written, for instance 0.0.0.0:8433.
func Listen(ctx context.Context, address string) (net.Listener, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, err
	}
	if host == "" {
		host = "127.0.0.1"
	}
	return new(net.ListenConfig).Listen(ctx, "tcp", net.JoinHostPort(host, port))
}

// Serve answers on the listener until ctx ends, then ends event streams, lets
// running requests finish and returns nil. Meanwhile it passes on what other instances
// change, and does heavy work.
func (s *Server) Serve(ctx context.Context, listener net.Listener) error {
	hs := s.patience.listens(s.echo, s.log)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var beside sync.WaitGroup
	beside.Go(func() { s.goOn(ctx, "changes made elsewhere are not heard", s.office.Listen) })
	beside.Go(func() { s.goOn(ctx, "heavy work is not done", s.office.Work) })
	served := make(chan error, 1)
	go func() { served <- hs.Serve(listener) }()
	var err error
	select {
	case err = <-served:
	case <-ctx.Done():
		err = s.stop(hs)
		if e := <-served; !errors.Is(e, http.ErrServerClosed) {
			err = errors.Join(err, e)
		}
	}
	cancel()
	beside.Wait()
	return err
}

// again is how long it takes until something that has failed is begun anew.
const again = 5 * time.Second

// goOn does something until ctx ends, and begins anew when it fails.
func (s *Server) goOn(ctx context.Context, without string, do func(context.Context) error) {
	for ctx.Err() == nil {
		err := do(ctx)
		if ctx.Err() != nil {
			return
		}
		s.log.Error().Err(err).Msg(without)
		select {
		case <-ctx.Done():
		case <-time.After(again):
		}
	}
}

func (s *Server) stop(hs *http.Server) error {
	close(s.stopping)
	ctx, cancel := context.WithTimeout(context.Background(), stopTimeout)
	defer cancel()
	if err := hs.Shutdown(ctx); err != nil {
		return errors.Join(err, hs.Close())
	}
	return nil
}
