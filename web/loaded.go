package web

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"

	"github.com/labstack/echo/v4"

	"gaugerod/scheduler"
)

// loaded is the files that pages load, by name: those of static, and the parts of style,
// in the order of their names, as one.
type loaded map[string][]byte

func readLoaded() (loaded, error) {
	all := loaded{}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := files.ReadFile(name)
		switch path.Dir(name) {
		case "static":
			all[path.Base(name)] = content
		case "style":
			all["style.css"] = append(all["style.css"], content...)
		}
		return err
	})
	return all, err
}

// address is where a file is, with a word that changes with its content.
func (all loaded) address(name string) string {
	sum := sha256.Sum256(all[name])
	return "/static/" + name + "?v=" + hex.EncodeToString(sum[:6])
}

// static serves the files that pages load, for good: their address changes with them.
func (p *Pages) static(c echo.Context) error {
	name := c.Param("*")
	content, known := p.loaded[name]
	if !known {
		return scheduler.ErrNotFound
	}
	kinds := map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}
	if name == "offline.js" {
		c.Response().Header().Set("Service-Worker-Allowed", "/mine") // and nothing else
	}
	c.Response().Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	return c.Blob(http.StatusOK, kinds[path.Ext(name)], content)
}
