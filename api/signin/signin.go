// Package signin lets people in with a link that the program prints when it
// starts. The link holds a secret that opens one session and is then spent; the
// session is a cookie in a browser, or the same token as a bearer in a script.
//
// Only SHA-256 of secrets and tokens is kept, and only in memory: a restart ends
// all sessions and prints a new link.
package signin

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"sync"
	"time"
)

// ErrSpent is the answer to a secret that is unknown, spent or too old. Which of
// them it was is nobody's business.
var ErrSpent = errors.New("this sign-in link is spent or was never made")

const (
	secretBytes = 32
	sessionLife = 30 * 24 * time.Hour // after this a session has to be opened anew
	linkLife    = 24 * time.Hour
	mostOpen    = 1000 // links and sessions kept at once, each
)

// hash stands for a secret or a token where it is kept.
type hash [sha256.Size]byte

// Keeper gives out sign-in secrets and keeps the sessions they opened. It is safe
// for use by many goroutines once its exported fields are set.
type Keeper struct {
	// Style is the address of the style sheet for the sign-in page, empty: none.
	Style string
	// Secure has cookies sent over TLS alone, for a service behind a proxy that
	// ends TLS.
	Secure bool

	now func() time.Time

	mu       sync.Mutex
	links    map[hash]time.Time // by when they lapse
	sessions map[hash]session
}

type session struct {
	who    string
	lapses time.Time
}

// New is a keeper without links or sessions.
func New(now func() time.Time) *Keeper {
	return &Keeper{now: now, links: make(map[hash]time.Time), sessions: make(map[hash]session)}
}

// NewSecret makes a secret that opens one session within a day.
func (k *Keeper) NewSecret() string {
	secret := random()
	k.mu.Lock()
	defer k.mu.Unlock()
	now := k.now()
	for h, lapses := range k.links {
		if !now.Before(lapses) || len(k.links) >= mostOpen {
			delete(k.links, h)
		}
	}
	k.links[sum(secret)] = now.Add(linkLife)
	return secret
}

// Link is the address that a person opens to spend the secret. The base is where
// the service is reached, for instance http://127.0.0.1:8433.
func Link(base, secret string) string { return base + Path + "?secret=" + secret }

// Open spends a secret and returns the token of a new session for who.
func (k *Keeper) Open(secret, who string) (token string, err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	h, now := sum(secret), k.now()
	lapses, ok := k.links[h]
	delete(k.links, h)
	if !ok || !now.Before(lapses) {
		return "", ErrSpent
	}
	for h, s := range k.sessions {
		if !now.Before(s.lapses) || len(k.sessions) >= mostOpen {
			delete(k.sessions, h)
		}
	}
	token = random()
	k.sessions[sum(token)] = session{who: who, lapses: now.Add(sessionLife)}
	return token, nil
}

// Who is whose session a token is, false where it is none that is open.
func (k *Keeper) Who(token string) (string, bool) {
	if token == "" {
		return "", false
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	s, ok := k.sessions[sum(token)]
	if !ok || !k.now().Before(s.lapses) {
		return "", false
	}
	return s.who, true
}

// End closes the session of a token.
func (k *Keeper) End(token string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.sessions, sum(token))
}

// sum stands for the secret; looking it up by this takes no time that depends on
// how much of a guess is right.
func sum(secret string) hash { return sha256.Sum256([]byte(secret)) }

func random() string {
	b := make([]byte, secretBytes)
	rand.Read(b) // never fails: it ends the program where there is no randomness
	return base64.RawURLEncoding.EncodeToString(b)
}
