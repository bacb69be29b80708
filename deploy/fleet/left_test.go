package fleet

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// raised in the environment makes TestNothingIsLeft raise a fleet in that folder and
// wait to be ended.
const raised = "FLEET_TEST_FOLDER"

// TestNothingIsLeft ends the tests in the ways in which people end them, by Ctrl-C and
// by a kill that nothing can answer to: all that they had started ends with them.
func TestNothingIsLeft(t *testing.T) {
	if folder := os.Getenv(raised); folder != "" {
		f := raise(t, 2)
		if err := os.WriteFile(filepath.Join(folder, "up"), []byte(f.folder), 0o600); err != nil {
			t.Fatal(err)
		}
		<-t.Context().Done()
		select {}
	}
	for name, signal := range map[string]syscall.Signal{"Ctrl-C": syscall.SIGINT, "a kill": syscall.SIGKILL} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			child := exec.Command(os.Args[0], "-test.run=^TestNothingIsLeft$")
			child.Env = append(os.Environ(), raised+"="+folder, "GAUGEROD_PROGRAM="+program)
			if err := child.Start(); err != nil {
				t.Fatal(err)
			}
			var works string
			err := until("raise a fleet", func() error {
				text, err := os.ReadFile(filepath.Join(folder, "up"))
				if works = string(text); err == nil && works == "" {
					err = fmt.Errorf("not written yet")
				}
				return err
			})
			if found := working(t, works); err == nil && len(found) < 5 {
				t.Errorf("only %v works there: there is nothing to be left", found)
			}
			child.Process.Signal(signal)
			child.Wait()
			if err != nil {
				t.Fatal(err)
			}
			if err := until("end", func() error {
				if left := working(t, works); len(left) > 0 {
					return fmt.Errorf("still there: %v", left)
				}
				return nil
			}); err != nil {
				t.Error(err)
			}
			if _, err := os.Stat(works); signal == syscall.SIGINT && !os.IsNotExist(err) {
				t.Errorf("its folder is still there: %v", err)
			}
			os.RemoveAll(works)
		})
	}
}

// working is what works in a folder or below it.
func working(t *testing.T, folder string) (all []string) {
	t.Helper()
	links, err := filepath.Glob("/proc/[0-9]*/cwd")
	if err != nil {
		t.Fatal(err)
	}
	for _, link := range links {
		if at, err := os.Readlink(link); err == nil && (at == folder || strings.HasPrefix(at, folder+"/") || strings.HasPrefix(at, folder+" (")) {
			name, _ := os.ReadFile(filepath.Join(filepath.Dir(link), "comm"))
			all = append(all, strings.TrimSpace(string(name)))
		}
	}
	return all
}
