package people

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"gaugerod/api/signin"
	"gaugerod/db"
	"gaugerod/scheduler"
)

// How long a trade's link lasts, in days; common practice, no source.
const (
	UsualDays = 120
	MostDays  = 400
)

// NewLink is a trade's link just made, with what is never shown again.
type NewLink struct {
	db.TradeLink
	Address  string // opens the trade's own part
	Calendar string // the address of its calendar, which opens nothing else
	QR       string // the first address as a code to photograph, in SVG
}

// CalendarPath is where calendars are; their secret and ".ics" follow.
const CalendarPath = "/calendar/"

// MakeLink makes a private link for a trade of the job. The label tells whom it was
// given to, the trade's title where it is empty; no days are the usual ones. Asked again
// by the same account with the same secret of a form (once), it is the same link, made
// once; without one each is another.
func (d *Desk) MakeLink(ctx context.Context, by signin.Visitor, job, trade scheduler.ID, label string, days int, once string) (NewLink, error) {
	j, _, err := d.jobs.Job(ctx, job)
	if err != nil {
		return NewLink{}, err
	}
	at := slices.IndexFunc(j.Trades, func(t scheduler.Trade) bool { return t.ID == trade })
	if at < 0 {
		return NewLink{}, wrong("trade", "the job has no such trade", "")
	}
	if label, err = nameOf("label", cmp.Or(label, j.Trades[at].Title, string(trade))); err != nil {
		return NewLink{}, err
	}
	days = cmp.Or(days, UsualDays)
	if days < 1 || days > MostDays {
		return NewLink{}, wrong("days", "a link lasts from 1 to 400 days", "")
	}
	secret, calendar, err := linkSecrets(by, job, trade, once)
	if err != nil {
		return NewLink{}, err
	}
	link, err := d.store.AddTradeLink(ctx, db.TradeLink{Job: job, Trade: trade, Label: label, By: by.Name},
		db.HashOf(secret), db.HashOf(calendar), time.Duration(days)*24*time.Hour)
	if err != nil {
		return NewLink{}, err
	}
	if link.Revoked != nil {
		return NewLink{}, wrong("once", "this form was sent before, and the link that it made has been taken back", "load the page again to make another")
	}
	made := NewLink{TradeLink: link, Address: signin.VisitLink(d.Base(), secret), Calendar: d.Base() + CalendarPath + calendar + ".ics"}
	made.QR, err = signin.QR(made.Address)
	return made, err
}

// linkSecrets is the secrets of a new link and its calendar. Those of a form are made from
// its own, whoever sends it, and what it is about: sent again, it gives them again.
func linkSecrets(by signin.Visitor, job, trade scheduler.ID, once string) (secret, calendar string, err error) {
	if once == "" {
		return signin.NewSecret(), signin.NewSecret(), nil
	}
	if len(once) != len(signin.NewSecret()) {
		return "", "", wrong("once", "the form has no secret of its own", "load the page again")
	}
	derive := func(what string) string {
		sum := sha256.Sum256([]byte(strings.Join([]string{what, by.Account.String(), string(job), string(trade), once}, "\x00")))
		return base64.RawURLEncoding.EncodeToString(sum[:])
	}
	return derive("link"), derive("calendar"), nil
}

// Links lists the links of a job, the newest first.
func (d *Desk) Links(ctx context.Context, job scheduler.ID) ([]db.TradeLink, error) {
	return d.store.TradeLinks(ctx, job)
}

// RevokeLink shuts a link of the job, its calendar and all its sessions, at once.
func (d *Desk) RevokeLink(ctx context.Context, job scheduler.ID, link uuid.UUID) error {
	return d.store.RevokeTradeLink(ctx, job, link)
}
