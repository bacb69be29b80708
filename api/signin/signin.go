// Package signin lets people in and keeps their sessions. There are four ways: a
// link that the program prints when it starts, for the machine's own owner; a
// one-time link, mailed or handed over; an address with a password; and a trade's
// private link, which any number of its devices may use until it lapses or is
// revoked. Each opens a session: a cookie in a browser, or the same token as a
// bearer in a script.
//
// Sessions are in Postgres, so that a restart and other instances know them and one
// that is ended is ended everywhere at once. They are in a table of our own and not
// in that of a session library, because of tokens only SHA-256 is kept, and because
// they are listed and ended one by one.
package signin

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/rs/zerolog"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// ErrSpent is the answer to a secret that is unknown, spent, revoked or too old.
// Which of them it was is nobody's business.
var ErrSpent = errors.New("this link is spent, lapsed or was never made")

// ErrSignedOut is the answer to a request that nobody has signed in for.
var ErrSignedOut = errors.New("sign in first")

// How long things last; common practice, no source.
const (
	secretBytes = 32
	sessionLife = 30 * 24 * time.Hour // after this a session has to be opened anew
	printedLife = 24 * time.Hour
	mailedLife  = 30 * time.Minute
	shownLife   = 7 * 24 * time.Hour // it is handed over by hand or by post
	seenAgain   = 5 * time.Minute    // how old the note of a session's last use may be
)

// Steward is the name that the machine's own owner has at first: the name in the
// history of what they change.
const Steward = "owner"

// Store is where accounts, links and sessions are kept; *db.Store is one.
type Store interface {
	Steward(ctx context.Context, name string) (db.Account, error)
	Account(ctx context.Context, id uuid.UUID) (db.Account, error)
	AccountByEmail(ctx context.Context, email string) (a db.Account, password string, err error)
	Password(ctx context.Context, id uuid.UUID) (string, error)
	SetPassword(ctx context.Context, id uuid.UUID, password string, in uuid.UUID) error

	Asker(ctx context.Context, token db.Hash, job scheduler.ID) (db.Asker, error)
	Reader(ctx context.Context, token db.Hash, job scheduler.ID) (db.Asker, *db.Stand, error)
	Seen(ctx context.Context, session uuid.UUID) error
	OpenSession(ctx context.Context, account uuid.UUID, token db.Hash, device string, life time.Duration) error
	EndSession(ctx context.Context, token db.Hash) error
	EndSessionByID(ctx context.Context, session uuid.UUID) error

	AddSignInLink(ctx context.Context, account uuid.UUID, secret db.Hash, how db.Handed, life time.Duration) error
	SignInLink(ctx context.Context, secret db.Hash) (how db.Handed, name string, err error)
	SpendSignInLink(ctx context.Context, secret, token db.Hash, device string, life time.Duration) error

	TradeLinkOfCalendar(ctx context.Context, calendar db.Hash) (db.TradeLink, error)
	TradeLinkOf(ctx context.Context, secret db.Hash) (db.TradeLink, error)
	VisitTradeLink(ctx context.Context, secret, token db.Hash, device string) (until time.Time, err error)
}

// Mailer sends a letter.
type Mailer interface {
	Mail(ctx context.Context, to, subject, text string) error
}

// Keeper lets people in. It is safe for use by many goroutines once its exported
// fields are set. Close it before its store.
type Keeper struct {
	// Style is the address of the style sheet for the sign-in pages, empty: none.
	Style string
	// Secure has cookies sent over TLS alone, for a service behind a proxy that
	// ends TLS.
	Secure bool
	// Base is where the service is reached, for instance https://site.example; it
	// begins every link.
	Base string
	// Mailer sends links; without one that way in is not offered.
	Mailer Mailer

	store Store
	now   func() time.Time
	log   zerolog.Logger

	computing chan struct{} // one for each password that may be computed at once
	mailing   chan struct{} // one for each letter that may be under way at once
	running   sync.WaitGroup
	ctx       context.Context // letters are sent in it: they outlive the request
	cancel    context.CancelFunc
}

// New is a keeper over a store.
func New(store Store, now func() time.Time, log zerolog.Logger) *Keeper {
	ctx, cancel := context.WithCancel(context.Background())
	return &Keeper{
		store: store, now: now, log: log, ctx: ctx, cancel: cancel,
		computing: make(chan struct{}, mostComputed), mailing: make(chan struct{}, mostMailed),
	}
}

// Close breaks off what is being mailed and waits until nothing runs.
func (k *Keeper) Close() {
	k.cancel()
	k.running.Wait()
}

// NewSecret is a new secret, for whoever keeps its hash.
func NewSecret() string {
	b := make([]byte, secretBytes)
	rand.Read(b) // never fails: it ends the program where there is no randomness
	return base64.RawURLEncoding.EncodeToString(b)
}

// Printed makes the secret of a link for the machine's own owner, which opens one
// session within a day. On one's own machine there is nothing to sign up for.
func (k *Keeper) Printed(ctx context.Context) (secret string, err error) {
	a, err := k.store.Steward(ctx, Steward)
	if err != nil {
		return "", fmt.Errorf("find the owner of the machine: %w", err)
	}
	return k.oneTime(ctx, a.ID, db.Printed, printedLife)
}

// Shown makes the secret of a one-time link that is handed over.
func (k *Keeper) Shown(ctx context.Context, account uuid.UUID) (secret string, err error) {
	return k.oneTime(ctx, account, db.Shown, shownLife)
}

func (k *Keeper) oneTime(ctx context.Context, account uuid.UUID, how db.Handed, life time.Duration) (string, error) {
	secret := NewSecret()
	if err := k.store.AddSignInLink(ctx, account, db.HashOf(secret), how, life); err != nil {
		return "", fmt.Errorf("make a sign-in link: %w", err)
	}
	return secret, nil
}

// Link is the address that a person opens to spend a one-time secret. The base is
// where the service is reached, for instance http://127.0.0.1:8433.
func Link(base, secret string) string { return base + Path + "?secret=" + secret }

// VisitLink is the address that a trade opens.
func VisitLink(base, secret string) string { return base + VisitPath + "?secret=" + secret }

// Opened is a session that has just been opened.
type Opened struct {
	Token string
	Until time.Time
	Trade bool // bound to a trade's link
}

// Open opens a session for a secret, of a one-time link, which is spent by that, or
// of a trade's; ErrSpent when it is neither.
func (k *Keeper) Open(ctx context.Context, secret, device string) (Opened, error) {
	token, hash := NewSecret(), db.HashOf(secret)
	until := k.now().Add(sessionLife)
	err := k.store.SpendSignInLink(ctx, hash, db.HashOf(token), device, sessionLife)
	trade := errors.Is(err, scheduler.ErrNotFound)
	if trade {
		until, err = k.store.VisitTradeLink(ctx, hash, db.HashOf(token), device)
	}
	switch {
	case errors.Is(err, scheduler.ErrNotFound):
		return Opened{}, ErrSpent
	case err != nil:
		return Opened{}, fmt.Errorf("open a session: %w", err)
	}
	return Opened{Token: token, Until: until, Trade: trade}, nil
}

// End closes the session of a token.
func (k *Keeper) End(ctx context.Context, token string) error {
	if token == "" {
		return nil
	}
	return k.store.EndSession(ctx, db.HashOf(token))
}

// EndOf closes the session that a visitor has come by.
func (k *Keeper) EndOf(ctx context.Context, v Visitor) error {
	return k.store.EndSessionByID(ctx, v.Session)
}
