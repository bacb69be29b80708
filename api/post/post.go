// Package post sends letters through a mail server.
package post

import (
	"context"
	"errors"
	"fmt"
	"net"
	"slices"
	"strconv"

	"github.com/wneessen/go-mail"
)

// TLS says how the way to the mail server is kept private.
type TLS string

// The ways there are.
const (
	StartTLS TLS = "start" // the server is asked for it, and must have it
	WholeTLS TLS = "whole" // from the first byte on
	NoTLS    TLS = "none"  // not at all: for a server on the same machine
)

// Config says which mail server, and as whom.
type Config struct {
	Server   string // host:port
	From     string // the sender's address
	User     string // empty: no signing in
	Password string
	TLS      TLS
}

// Office sends letters. It is safe for use by many goroutines: each letter has a
// connection of its own.
type Office struct {
	config  Config
	host    string
	options []mail.Option
}

// New looks the settings through. It does not connect.
func New(c Config) (*Office, error) {
	host, port, err := net.SplitHostPort(c.Server)
	if err != nil {
		return nil, fmt.Errorf("mail server %q is not written as host:port: %w", c.Server, err)
	}
	number, err := strconv.Atoi(port)
	if err != nil {
		return nil, fmt.Errorf("mail server %q: the port is no number", c.Server)
	}
	if err := mail.NewMsg().From(c.From); err != nil {
		return nil, fmt.Errorf("the sender's address %q cannot be read: %w", c.From, err)
	}
	o := &Office{config: c, host: host, options: []mail.Option{mail.WithPort(number)}}
	switch c.TLS {
	case StartTLS:
		o.options = append(o.options, mail.WithTLSPolicy(mail.TLSMandatory))
	case WholeTLS:
		o.options = append(o.options, mail.WithSSL())
	case NoTLS:
		o.options = append(o.options, mail.WithTLSPolicy(mail.NoTLS))
	default:
		return nil, fmt.Errorf("there is no way %q to a mail server: take start, whole or none", c.TLS)
	}
	if c.User != "" {
		o.options = append(o.options, mail.WithUsername(c.User), mail.WithPassword(c.Password), mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover))
	} else if c.Password != "" {
		return nil, errors.New("there is a password for the mail server and nobody whose it is")
	}
	if _, err := mail.NewClient(o.host, o.options...); err != nil {
		return nil, fmt.Errorf("the settings of the mail server: %w", err)
	}
	return o, nil
}

// Mail sends a plain letter. Its errors name neither reader nor text.
func (o *Office) Mail(ctx context.Context, to, subject, text string) error {
	letter := mail.NewMsg(mail.WithNoDefaultUserAgent())
	if err := letter.From(o.config.From); err != nil {
		return errors.New("the sender's address cannot be read")
	}
	if err := letter.To(to); err != nil {
		return errors.New("the reader's address cannot be read")
	}
	letter.Subject(subject)
	letter.SetDate()
	letter.SetMessageID()
	letter.SetBodyString(mail.TypeTextPlain, text)
	line := &line{}
	defer line.close()
	options := o.options
	if o.config.TLS != WholeTLS { // else the library has to know that it speaks TLS from the beginning
		options = append(slices.Clone(options), mail.WithDialContextFunc(line.dial(ctx)))
	}
	client, err := mail.NewClient(o.host, options...)
	if err != nil {
		return fmt.Errorf("reach the mail server: %w", err)
	}
	if err := client.DialWithContext(ctx); err != nil {
		return fmt.Errorf("reach the mail server: %w", err)
	}
	sending := client.Send(letter)
	if err := client.Close(); err != nil && sending == nil {
		return nil // it has been taken; how the server says goodbye does not matter
	}
	if sending != nil {
		return errors.New("the mail server does not take the letter" + reason(sending))
	}
	return nil
}

// line is the connection of one letter. The library leaves it open when it gives up,
// and waits on it longer than it was told to.
type line struct{ conn net.Conn }

// dial connects, for as long as ctx lasts.
func (l *line) dial(ctx context.Context) mail.DialContextFunc {
	return func(dialling context.Context, network, address string) (net.Conn, error) {
		conn, err := new(net.Dialer).DialContext(dialling, network, address)
		if err == nil {
			l.conn = conn
			context.AfterFunc(ctx, func() { conn.Close() })
		}
		return conn, err
	}
}

func (l *line) close() {
	if l.conn != nil {
		l.conn.Close()
	}
}

// reason is what of a refusal may stand in a log: its code, not the words, in which
// servers repeat addresses.
func reason(err error) string {
	if refused, ok := errors.AsType[*mail.SendError](err); ok {
		return ": " + strconv.Itoa(refused.ErrorCode())
	}
	return ""
}
