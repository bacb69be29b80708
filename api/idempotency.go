package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"

	"github.com/labstack/echo/v4"
)

// keyHeader names a request, so that it may be sent again
// (draft-ietf-httpapi-idempotency-key-header).
const keyHeader = "Idempotency-Key"

type printKey struct{}

// printOf is the fingerprint of a request that has a key, empty for others.
func printOf(ctx context.Context) string {
	print, _ := ctx.Value(printKey{}).(string)
	return print
}

// fingerprint tells requests apart that share a key by mistake: by method, address
// and body. It reads only bodies of requests that have a key.
func fingerprint(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if r.Header.Get(keyHeader) == "" {
			return next(c)
		}
		body, err := io.ReadAll(r.Body)
		if err != nil {
			return err
		}
		hash := sha256.New()
		for _, part := range [][]byte{[]byte(r.Method), []byte(r.URL.RequestURI()), body} {
			sum := sha256.Sum256(part)
			hash.Write(sum[:])
		}
		ctx := context.WithValue(r.Context(), printKey{}, hex.EncodeToString(hash.Sum(nil)))
		r.Body = io.NopCloser(bytes.NewReader(body))
		c.SetRequest(r.WithContext(ctx))
		return next(c)
	}
}
