package signin

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"github.com/google/uuid"

	"gaugerod/db"
	"gaugerod/scheduler"
)

// ErrWrong is the answer to a password that is not the account's, and to an
// address that no account has. Which of them it was is nobody's business.
var ErrWrong = errors.New("that address and password do not go together")

// ErrBusy says that too many passwords are being looked at just now.
var ErrBusy = errors.New("too many passwords are being looked at just now")

const (
	// LeastPassword is how many characters a password has at least: what NIST SP
	// 800-63B-4 asks for where it is the only factor; from memory.
	LeastPassword = 15
	// MostPassword bounds what is computed on, in bytes; common practice, no source.
	MostPassword = 256

	mostComputed = 2 // each takes 19 MiB and a core for a tenth of a second
	longestQueue = 5 * time.Second
)

// strength is how dear one guess is: the least that OWASP's password storage cheat
// sheet asks for; from memory.
var strength = &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// nobodys is a password of nobody's, on which the work is done that an account
// with a password would cost.
const nobodys = "$argon2id$v=19$m=19456,t=2,p=1$Z2F1Z2Vyb2Qtbm9ib2R5$BHwEQiPr6HmPdzTLrbMN8sOGpGGCEYdSXzuYdyGJxKM"

// PlainEmail is an address as it is kept: without space around it, in lower case.
func PlainEmail(email string) string { return strings.ToLower(strings.TrimSpace(email)) }

// OpenWithPassword opens a session of the account with that address. It is ErrWrong,
// after the same work, whether the account or the password is wrong.
func (k *Keeper) OpenWithPassword(ctx context.Context, email, password, device string) (Opened, error) {
	account, kept, err := k.store.AccountByEmail(ctx, PlainEmail(email))
	if err != nil && !errors.Is(err, scheduler.ErrNotFound) {
		return Opened{}, err
	}
	known := kept != ""
	if !known {
		kept = nobodys
	}
	same, err := k.matches(ctx, password, kept)
	switch {
	case err != nil:
		return Opened{}, err
	case !same || !known:
		return Opened{}, ErrWrong
	}
	token := NewSecret()
	if err := k.store.OpenSession(ctx, account.ID, db.HashOf(token), device, sessionLife); err != nil {
		return Opened{}, fmt.Errorf("open a session: %w", err)
	}
	return Opened{Token: token, Until: k.now().Add(sessionLife)}, nil
}

// SetPassword sets an account's password, in one of its sessions; the others end.
// Where it had one, that has to be given: ErrWrong otherwise.
func (k *Keeper) SetPassword(ctx context.Context, account, session uuid.UUID, was, is string) error {
	switch {
	case utf8.RuneCountInString(is) < LeastPassword:
		return &scheduler.Refusal{Kind: scheduler.ErrImpossible, Field: "password", What: fmt.Sprintf("a password has at least %d characters", LeastPassword), Mend: "take four or five words"}
	case len(is) > MostPassword:
		return &scheduler.Refusal{Kind: scheduler.ErrImpossible, Field: "password", What: fmt.Sprintf("a password has at most %d bytes", MostPassword)}
	}
	kept, err := k.store.Password(ctx, account)
	if err != nil {
		return err
	}
	if kept != "" {
		same, err := k.matches(ctx, was, kept)
		if err != nil {
			return err
		}
		if !same {
			return ErrWrong
		}
	}
	var hashed string
	if err := k.compute(ctx, func() (err error) { hashed, err = argon2id.CreateHash(is, strength); return err }); err != nil {
		return err
	}
	return k.store.SetPassword(ctx, account, hashed, session)
}

func (k *Keeper) matches(ctx context.Context, password, kept string) (same bool, err error) {
	if len(password) > MostPassword {
		password = "" // nobody has an empty one, and it costs the same
	}
	err = k.compute(ctx, func() (err error) { same, err = argon2id.ComparePasswordAndHash(password, kept); return err })
	return same, err
}

// compute does dear work, few at once.
func (k *Keeper) compute(ctx context.Context, work func() error) error {
	ctx, cancel := context.WithTimeout(ctx, longestQueue)
	defer cancel()
	select {
	case k.computing <- struct{}{}:
		defer func() { <-k.computing }()
		return work()
	case <-ctx.Done():
		return ErrBusy
	}
}
