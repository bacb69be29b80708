package main

import (
	"errors"
	"os"

	"gaugerod/api/post"
	"gaugerod/api/signin"
)

// mailFlags say through which server sign-in links are mailed.
type mailFlags struct {
	MailServer string   `env:"GAUGEROD_MAIL_SERVER" placeholder:"HOST:PORT" help:"Mail server through which sign-in links are sent. Without one they are not."`
	MailFrom   string   `env:"GAUGEROD_MAIL_FROM" placeholder:"ADDRESS" help:"Whom the links are from."`
	MailUser   string   `env:"GAUGEROD_MAIL_USER" placeholder:"NAME" help:"As whom to sign in to the mail server; the password is read from GAUGEROD_MAIL_PASSWORD alone."`
	MailTLS    post.TLS `env:"GAUGEROD_MAIL_TLS" name:"mail-tls" enum:"start,whole,none" default:"start" help:"How the way to the mail server is kept private: start (STARTTLS), whole (from the first byte on) or none (a server on this machine)."`
}

// mailPassword names the one setting that has no flag: a command line is seen by
// everybody on the machine.
const mailPassword = "GAUGEROD_MAIL_PASSWORD" //nolint:gosec // the name of a variable, no password

// mailer is what sends links, nil where none is set up.
func (f mailFlags) mailer() (signin.Mailer, error) {
	if f.MailServer == "" {
		if f.MailFrom != "" || f.MailUser != "" {
			return nil, errors.New("there are settings for mail and no mail server: name one with --mail-server")
		}
		return nil, nil
	}
	if f.MailFrom == "" {
		return nil, errors.New("letters need a sender: name one with --mail-from")
	}
	office, err := post.New(post.Config{Server: f.MailServer, From: f.MailFrom, User: f.MailUser, Password: os.Getenv(mailPassword), TLS: f.MailTLS})
	if err != nil {
		return nil, err
	}
	return office, nil
}
