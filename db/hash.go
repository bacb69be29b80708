package db

import "crypto/sha256"

// Hash stands for a secret or a token where it is kept. Looking one up by this
// takes no time that depends on how much of a guess is right.
type Hash [sha256.Size]byte

// HashOf is what is kept of a secret.
func HashOf(secret string) Hash { return sha256.Sum256([]byte(secret)) }

func (h Hash) bytes() []byte { return h[:] }
