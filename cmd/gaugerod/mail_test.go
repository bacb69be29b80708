package main

import (
	"strings"
	"testing"
)

func TestMailSettings(t *testing.T) {
	if m, err := (mailFlags{MailTLS: "start"}).mailer(); m != nil || err != nil {
		t.Errorf("without settings there is %v, %v", m, err)
	}
	for want, f := range map[string]mailFlags{
		"--mail-server": {MailFrom: "site@post.example", MailTLS: "start"},
		"--mail-from":   {MailServer: "post.example:587", MailTLS: "start"},
		"host:port":     {MailServer: "post.example", MailFrom: "site@post.example", MailTLS: "start"},
	} {
		if m, err := f.mailer(); m != nil || err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v, %v", want, m, err)
		}
	}
	t.Setenv(mailPassword, "hunter2")
	f := mailFlags{MailServer: "post.example:587", MailFrom: "site@post.example", MailTLS: "start"}
	if _, err := f.mailer(); err == nil || strings.Contains(err.Error(), "hunter2") {
		t.Errorf("a password and no name: %v", err)
	}
	f.MailUser = "site"
	if m, err := f.mailer(); m == nil || err != nil {
		t.Errorf("%v, %v", m, err)
	}
}
