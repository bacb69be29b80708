package people

import (
	"cmp"
	"context"
	"slices"
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
// given to, the trade's title where it is empty; no days are the usual ones.
func (d *Desk) MakeLink(ctx context.Context, by signin.Visitor, job, trade scheduler.ID, label string, days int) (NewLink, error) {
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
	secret, calendar := signin.NewSecret(), signin.NewSecret()
	link, err := d.store.AddTradeLink(ctx, db.TradeLink{Job: job, Trade: trade, Label: label, By: by.Name},
		db.HashOf(secret), db.HashOf(calendar), time.Duration(days)*24*time.Hour)
	if err != nil {
		return NewLink{}, err
	}
	made := NewLink{TradeLink: link, Address: signin.VisitLink(d.Base(), secret), Calendar: d.Base() + CalendarPath + calendar + ".ics"}
	made.QR, err = signin.QR(made.Address)
	return made, err
}

// Links lists the links of a job, the newest first.
func (d *Desk) Links(ctx context.Context, job scheduler.ID) ([]db.TradeLink, error) {
	return d.store.TradeLinks(ctx, job)
}

// RevokeLink shuts a link of the job, its calendar and all its sessions, at once.
func (d *Desk) RevokeLink(ctx context.Context, job scheduler.ID, link uuid.UUID) error {
	return d.store.RevokeTradeLink(ctx, job, link)
}
