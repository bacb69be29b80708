package post_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"

	"gaugerod/api/post"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// server speaks enough of SMTP (RFC 5321) to take a letter, and keeps what it heard.
type server struct {
	address string
	heard   chan string
}

// serve answers one connection; refuse is the command that it says no to.
func serve(t *testing.T, refuse string) *server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &server{address: l.Addr().String(), heard: make(chan string, 1)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		c, err := l.Accept()
		if err != nil {
			return
		}
		defer c.Close()
		s.heard <- converse(c, refuse)
	}()
	t.Cleanup(func() { l.Close(); <-done })
	return s
}

func converse(c net.Conn, refuse string) string {
	var heard strings.Builder
	fmt.Fprint(c, "220 post.example\r\n")
	in := bufio.NewScanner(c)
	for in.Scan() {
		line := in.Text()
		heard.WriteString(line + "\n")
		word, _, _ := strings.Cut(line, " ")
		switch {
		case word == refuse:
			fmt.Fprintf(c, "550 no mailbox %s\r\n", line)
		case word == "EHLO":
			fmt.Fprint(c, "250-post.example\r\n250 8BITMIME\r\n")
		case word == "DATA":
			fmt.Fprint(c, "354 go on\r\n")
			for in.Scan() && in.Text() != "." {
				heard.WriteString(in.Text() + "\n")
			}
			fmt.Fprint(c, "250 taken\r\n")
		case word == "QUIT":
			fmt.Fprint(c, "221 bye\r\n")
			return heard.String()
		default:
			fmt.Fprint(c, "250 yes\r\n")
		}
	}
	return heard.String()
}

func office(t *testing.T, address string, way post.TLS) *post.Office {
	t.Helper()
	o, err := post.New(post.Config{Server: address, From: "site@post.example", TLS: way})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestLetterArrives(t *testing.T) {
	s := serve(t, "")
	const text = "Open this:\n\nhttps://site.example/sign-in?secret=abc_-123\n"
	if err := office(t, s.address, post.NoTLS).Mail(t.Context(), "kim@people.example", "Sign in", text); err != nil {
		t.Fatal(err)
	}
	heard := <-s.heard
	for _, want := range []string{"MAIL FROM:<site@post.example>", "RCPT TO:<kim@people.example>", "Subject: Sign in", "Date: ", "Message-ID: ", "Content-Type: text/plain; charset=UTF-8"} {
		if !strings.Contains(heard, want) {
			t.Errorf("the server did not hear %q:\n%s", want, heard)
		}
	}
	// In quoted-printable "=" is written "=3D".
	if !strings.Contains(strings.ReplaceAll(heard, "=3D", "="), "https://site.example/sign-in?secret=abc_-123") {
		t.Errorf("the link did not arrive whole:\n%s", heard)
	}
}

// TestRefusedLetter: what goes wrong is told, without the reader's address.
func TestRefusedLetter(t *testing.T) {
	for _, command := range []string{"MAIL", "RCPT"} {
		s := serve(t, command)
		err := office(t, s.address, post.NoTLS).Mail(t.Context(), "kim@people.example", "Sign in", "text")
		if err == nil || strings.Contains(err.Error(), "kim") || !strings.Contains(err.Error(), "550") {
			t.Errorf("%s refused: %v", command, err)
		}
	}
	o := office(t, "127.0.0.1:1", post.NoTLS)
	if err := o.Mail(t.Context(), "kim@people.example", "Sign in", "text"); err == nil {
		t.Error("nobody there, and it was sent")
	}
	if err := o.Mail(t.Context(), "kim\r\nBcc: all@people.example", "Sign in", "text"); err == nil || strings.Contains(err.Error(), "kim") {
		t.Errorf("an address of two lines: %v", err)
	}
}

// TestNeverInTheClear: where TLS is asked for, a server without it gets no letter.
func TestNeverInTheClear(t *testing.T) {
	s := serve(t, "")
	err := office(t, s.address, post.StartTLS).Mail(t.Context(), "kim@people.example", "Sign in", "text")
	if err == nil {
		t.Error("the letter was sent in the clear")
	}
	if heard := <-s.heard; strings.Contains(heard, "kim@") {
		t.Errorf("heard in the clear: %s", heard)
	}
}

func TestAServerThatSaysNothingIsLeft(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := office(t, l.Addr().String(), post.NoTLS).Mail(ctx, "kim@people.example", "Sign in", "text"); err == nil || !errors.Is(ctx.Err(), context.DeadlineExceeded) {
		t.Errorf("%v, %v", err, ctx.Err())
	}
}

func TestSettings(t *testing.T) {
	for want, c := range map[string]post.Config{
		"host:port":        {Server: "post.example", From: "site@post.example", TLS: post.StartTLS},
		"no number":        {Server: "post.example:smtp", From: "site@post.example", TLS: post.StartTLS},
		"sender's address": {Server: "post.example:587", From: "site", TLS: post.StartTLS},
		"start, whole":     {Server: "post.example:587", From: "site@post.example", TLS: "perhaps"},
		"nobody whose":     {Server: "post.example:587", From: "site@post.example", TLS: post.StartTLS, Password: "x"},
		"settings of":      {Server: ":587", From: "site@post.example", TLS: post.WholeTLS},
	} {
		if _, err := post.New(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := post.New(post.Config{Server: "post.example:465", From: "Site <site@post.example>", TLS: post.WholeTLS, User: "site", Password: "x"}); err != nil {
		t.Error(err)
	}
}
