package signin

import (
	"context"
	"errors"
	"fmt"
	"time"

	"gaugerod/db"
	"gaugerod/scheduler"
)

const (
	mostMailed  = 16 // letters under way at once; further ones are not sent
	longestMail = 30 * time.Second
)

// MailLink mails a one-time link to an address, where an account has it. It returns
// at once and says nothing: neither the answer nor the time it takes tells whether
// the address is known.
func (k *Keeper) MailLink(email string) {
	k.mail(func(ctx context.Context) error {
		account, _, err := k.store.AccountByEmail(ctx, PlainEmail(email))
		if errors.Is(err, scheduler.ErrNotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		return k.mailLink(ctx, account, "You asked for a link to sign in to Gaugerod.")
	})
}

// MailInvitation mails a one-time link to an account's address, with the reason.
func (k *Keeper) MailInvitation(account db.Account, why string) {
	k.mail(func(ctx context.Context) error { return k.mailLink(ctx, account, why) })
}

func (k *Keeper) mailLink(ctx context.Context, account db.Account, why string) error {
	secret, err := k.oneTime(ctx, account.ID, db.Mailed, mailedLife)
	if err != nil {
		return err
	}
	text := fmt.Sprintf("%s\n\n%s\n\nThe link works once, within %d minutes. If you did not expect this letter, "+
		"leave it: nothing happens.\n\nAnother link can be had at %s at any time.\n",
		why, Link(k.Base, secret), int(mailedLife.Minutes()), k.Base+Path)
	return k.Mailer.Mail(ctx, account.Email, "Sign in to Gaugerod", text)
}

// mail does so in the background. What fails is logged, without the address.
func (k *Keeper) mail(send func(context.Context) error) {
	if k.Mailer == nil {
		return
	}
	select {
	case k.mailing <- struct{}{}:
	default:
		k.log.Warn().Msg("too many letters at once; one was not sent")
		return
	}
	k.running.Go(func() {
		defer func() { <-k.mailing }()
		ctx, cancel := context.WithTimeout(k.ctx, longestMail)
		defer cancel()
		if err := send(ctx); err != nil {
			k.log.Error().Err(err).Msg("a sign-in link could not be mailed")
		}
	})
}
