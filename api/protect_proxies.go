package api

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// proxies are the networks whose word on where a request comes from is believed.
type proxies []*net.IPNet

func readProxies(texts []string) (proxies, error) {
	var all proxies
	for _, text := range texts {
		text = strings.TrimSpace(text)
		if at := net.ParseIP(text); at != nil { // one address
			bits := 8 * net.IPv6len
			if at.To4() != nil {
				bits = 8 * net.IPv4len
			}
			text = fmt.Sprintf("%s/%d", text, bits)
		}
		_, network, err := net.ParseCIDR(text)
		if err != nil {
			return nil, fmt.Errorf("proxies: %w", err)
		}
		if ones, _ := network.Mask.Size(); ones == 0 {
			return nil, errors.New("proxies: " + text + " is everybody, so that everybody could say where they come from")
		}
		all = append(all, network)
	}
	return all, nil
}

// whereFrom reads the address that a request comes from: that of the connection, or,
// where this is a proxy's, the nearest that is not a proxy's of those it has written
// down.
func (p proxies) whereFrom() echo.IPExtractor {
	if len(p) == 0 {
		return echo.ExtractIPDirect()
	}
	options := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, network := range p {
		options = append(options, echo.TrustIPRange(network))
	}
	return echo.ExtractIPFromXFFHeader(options...)
}

// sent says whether a request's connection comes from a proxy.
func (p proxies) sent(r *http.Request) bool {
	if len(p) == 0 {
		return false
	}
	at := net.ParseIP(echo.ExtractIPDirect()(r))
	for _, network := range p {
		if network.Contains(at) {
			return true
		}
	}
	return false
}
