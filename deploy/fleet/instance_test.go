package fleet

import (
	"fmt"
	"net/http"
	"os"
	"regexp"
	"strings"
	"syscall"
	"time"
)

// instance is one gaugerod serve, always at the same address, however often it has
// been killed.
type instance struct {
	name, address string
	folder        string
	words         []string
	process       *process
}

func newInstance(folder, name, address, database, url string) *instance {
	return &instance{name: name, address: address, folder: folder, words: []string{
		program, "serve", "--listen", address, "--database", database, "--url", url, "--log", "json",
	}}
}

// bare is the environment without what the program reads from it.
func bare() (env []string) {
	for _, e := range os.Environ() {
		if !strings.HasPrefix(e, "GAUGEROD_") && !strings.HasPrefix(e, "PG") {
			env = append(env, e)
		}
	}
	return env
}

// start starts it and does not wait.
func (i *instance) start() (err error) {
	i.process, err = run(i.folder, i.name, syscall.SIGKILL, nil, append(bare(), "GAUGEROD_PROXIES=127.0.0.1/32"), i.words...)
	return err
}

// begin starts it for the first time, when everything it needs is there.
func (i *instance) begin() error {
	if err := i.start(); err != nil {
		return err
	}
	return until("start "+i.name, func() error {
		err := i.ready()
		if err != nil && !i.process.running() {
			return errOver
		}
		return err
	})
}

// keep starts it as a supervisor does, again and again while it ends by itself
// because there is no database, until it is ready.
func (i *instance) keep() error {
	return until("start "+i.name, func() error {
		if !i.process.running() {
			time.Sleep(100 * time.Millisecond)
			if err := i.start(); err != nil {
				return err
			}
		}
		return i.ready()
	})
}

func (i *instance) ready() error {
	answer, err := http.Get("http://" + i.address + "/readyz")
	if err != nil {
		return err
	}
	answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("it answers %s", answer.Status)
	}
	return nil
}

var linkPattern = regexp.MustCompile(`/sign-in\?secret=(\S+)`)

// secret is that of the newest link that it printed.
func (i *instance) secret() (string, error) {
	text, err := os.ReadFile(i.process.said)
	if err != nil {
		return "", err
	}
	all := linkPattern.FindAllSubmatch(text, -1)
	if len(all) == 0 {
		return "", fmt.Errorf("%s has printed no link:\n%s", i.name, tail(i.process.said, 20))
	}
	return string(all[len(all)-1][1]), nil
}
